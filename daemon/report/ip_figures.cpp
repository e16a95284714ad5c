#include "daemon/report/ip_figures.hpp"

#include <array>
#include <cmath>

#include "daemon/report/json_figures.hpp"
#include "daemon/report/loose_json.hpp"
#include "daemon/report/units.hpp"

namespace leeward::daemon {

namespace {

struct IpKey {
  const char* metric;
  const char* ip;
  Quantity quantity;
};
constexpr std::array kIpKeys = std::to_array<IpKey>({
    {"q4_m3_h", "q4_cfm", Quantity::flow},
    {"q10_m3_h", "q10_cfm", Quantity::flow},
    {"q50_m3_h", "q50_cfm", Quantity::flow},
    {"q75_m3_h", "q75_cfm", Quantity::flow},
    {"n50_per_h", "n50_per_h", Quantity::per_hour},
    {"qe50_m3_h_m2", "qe50_cfm_ft2", Quantity::flow_per_area},
    {"qf50_m3_h_m2", "qf50_cfm_ft2", Quantity::flow_per_area},
    {"qe75_m3_h_m2", "qe75_cfm_ft2", Quantity::flow_per_area},
    {"c_m3_h_pan", "c_cfm_pan", Quantity::coefficient},
    {"ela4_cm2", "ela4_in2", Quantity::area},
    {"ela10_cm2", "ela10_in2", Quantity::area},
    {"eqla10_cm2", "eqla10_in2", Quantity::area},
    {"specific_leakage_cm2_m2", "specific_leakage_in2_100ft2", Quantity::area_per_area},
    {"nla_cm2_m2", "nla_in2_100ft2", Quantity::area_per_area},
});

}  // namespace

nlohmann::json ip_figures(const nlohmann::json& result) {
  nlohmann::json out = nlohmann::json::object();
  for (const IpKey& key : kIpKeys) {
    const double factor = face_unit(key.quantity, Units::ip).factor;
    for (const char* end : {"", "_low", "_high", "_upper"})
      out[key.ip + std::string(end)] =
          number_or_null(factor * number_at(result, key.metric + std::string(end)));
  }
  return out;
}

}  // namespace leeward::daemon
