#include "daemon/words/fit_text.hpp"

#include "daemon/words/figures.hpp"

namespace leeward::daemon {

namespace {

std::string reference_words(const control::ProcedureSpec& procedure) {
  constexpr control::ProcedureSpec standard{};
  if (procedure.reference_temperature_c == standard.reference_temperature_c &&
      procedure.reference_pressure_abs_pa == standard.reference_pressure_abs_pa)
    return {};
  return ", to air of " + figure_text(procedure.reference_temperature_c, "degrees C") + " and " +
         fixed_text(procedure.reference_pressure_abs_pa, 0) + " Pa";
}

}  // namespace

std::string own_fit_text(bool exponent_assumed) {
  return exponent_assumed ? "Exponent assumed, its doubt counted in; corrected for density and viscosity."
                          : "Stations weighted by their uncertainty; corrected for density and viscosity.";
}

std::string standard_fit_text(const control::ProcedureSpec& procedure) {
  const std::string weights = procedure.fit == control::FitMethod::fixed_exponent
                                  ? "Exponent fixed by the procedure"
                                  : "All stations count alike";
  return weights + "; corrected for density" +
         (procedure.viscosity_correction ? " and viscosity" : ", not for viscosity") +
         reference_words(procedure) + ".";
}

std::string assumed_exponent_text(const control::ProcedureSpec& procedure) {
  return "The exponent n was assumed (" + fixed_text(procedure.fixed_exponent, 2) +
         ", standard uncertainty " + fixed_text(procedure.exponent_u, 2) +
         "), not measured: C and the leakage areas rest on it.";
}

}  // namespace leeward::daemon
