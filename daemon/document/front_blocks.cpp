#include "daemon/document/front_blocks.hpp"

#include "daemon/words/figures.hpp"
#include "daemon/words/names.hpp"
#include "daemon/words/sentences.hpp"

namespace leeward::daemon {

namespace {

using control::CheckOutcome;
using control::RunState;
using control::Severity;

std::string size_text(const DisplayUnit& unit, double si) {
  return si > 0 ? figure_in(unit, si) : std::string("not stated");
}

FactColumn building_column(const ReportData& data, const Particulars& particulars,
                           const DisplayUnits& units) {
  const control::BuildingSpec& b = data.record.building;
  std::string volume = size_text(units.volume, b.volume_m3);
  if (b.volume_m3 > 0 && b.volume_relative_u > 0)
    volume += " ± " + figure_text(b.volume_relative_u * 100, "%") + " (std.)";
  return {"Building",
          {{"Name", b.name.empty() ? "not stated" : std::string(b.name.view())},
           {"Address", particulars.address},
           {"Permit no.", particulars.permit},
           {"Volume", volume},
           {"Envelope area", size_text(units.area, b.envelope_area_m2)},
           {"Floor area", size_text(units.area, b.floor_area_m2)},
           {"Height", size_text(units.length, b.height_m)}}};
}

std::string directions_text(const ReportData& data) {
  if (data.record.directions.empty())
    return data.story.run ? std::string(name_of(data.story.run->direction)) : std::string("not known");
  std::string out;
  for (const auto& d : data.record.directions)
    out += (out.empty() ? "" : ", then ") + std::string(direction_title(d.direction));
  return out;
}

FactColumn test_column(const ReportData& data, const Particulars& particulars) {
  const control::ProcedureSpec& p = data.record.procedure;
  const auto stated = [](std::string_view text) {
    return text.empty() ? std::string("not stated") : std::string(text);
  };
  FactColumn out{"Test",
                 {{"Purpose", particulars.purpose},
                  {"Procedure", stated(p.title.view()) + " (" + stated(p.id.view()) + ")"},
                  {"Standard", stated(p.standard.view())},
                  {"Direction", directions_text(data)},
                  {"Reference", target_text(p.reference_pressure_pa)},
                  {"Begun", calendar_text(data.meta.started_unix_ms)},
                  {"Ended", calendar_text(data.ended_unix_ms)}}};
  if (const auto& from = data.record.continues; !from.run_id.empty())
    out.facts.emplace_back("Goes on from", std::string(from.run_id.view()));
  return out;
}

std::string barometer_text(const control::ConditionsSpec& c, const DisplayUnits& units) {
  const int decimals = units.barometer.factor < 1e-3 ? 2 : 0;
  if (c.has_barometric) return fixed_in(units.barometer, c.barometric_pa, decimals) + ", as stated";
  if (!c.has_altitude) return "not stated (sea level assumed)";
  return "from altitude " + fixed_in(units.length, c.altitude_m, 0);
}

std::string humidity_text(const control::ConditionsSpec& c) {
  const auto side = [](bool is_stated, double rh_frac) {
    return is_stated ? percent_text(rh_frac) : "not stated (" + percent_text(rh_frac) + " assumed)";
  };
  const std::string indoor = side(c.has_indoor_rh, c.indoor_rh_frac);
  const std::string outdoor = side(c.has_outdoor_rh, c.outdoor_rh_frac);
  return indoor == outdoor ? indoor : "indoors " + indoor + ", outdoors " + outdoor;
}

FactColumn conditions_column(const ReportData& data, const DisplayUnits& units) {
  const control::ConditionsSpec& c = data.record.conditions;
  FactColumn out{
      "Conditions",
      {{"Indoors", fixed_in(units.temperature, c.indoor_c, 1)},
       {"Outdoors", fixed_in(units.temperature, c.outdoor_c, 1)},
       {"Humidity", humidity_text(c)},
       {"Barometer", barometer_text(c, units)},
       {"Wind", c.has_wind ? fixed_in(units.speed, c.wind_m_s, 1) + ", as reported" : "not stated"}}};
  out.facts.emplace_back("Crew", data.is_attended ? "in the building" : "nobody in the building");
  if (data.presence_s > 0) out.facts.emplace_back("Sign of life", "every " + seconds_text(data.presence_s));
  if (!data.result.directions.empty()) {
    const control::DirectionResult& d = data.result.directions[0];
    out.facts.emplace_back("Air indoors", figure_in(units.density, d.density_indoor_kg_m3));
    out.facts.emplace_back("Air outdoors", figure_in(units.density, d.density_outdoor_kg_m3));
  }
  return out;
}

struct CheckCount {
  int passed = 0;
  int failed_void = 0;
  int failed_deviation = 0;
  int unknown_void = 0;
  std::string why;  ///< the checks that void the test
};

CheckCount count_checks(const ReportData& data) {
  CheckCount out;
  if (!data.record.continues.run_id.empty()) ++out.failed_deviation;  // no procedure knows a break
  for (const control::Verdict& v : data.result.verdicts) {
    const auto i = static_cast<std::size_t>(v.check);
    if (v.check < 0 || i >= data.record.procedure.checks.size()) continue;
    const control::CheckSpec& check = data.record.procedure.checks[i];
    const bool voids = check.severity == Severity::invalid;
    if (v.outcome == CheckOutcome::passed) ++out.passed;
    if (v.outcome == CheckOutcome::not_applicable && voids) ++out.unknown_void;
    if (v.outcome != CheckOutcome::failed) continue;
    if (check.severity == Severity::deviation) ++out.failed_deviation;
    if (!voids) continue;
    ++out.failed_void;
    out.why += evidence_text(check, v) + " (" + std::string(check.clause.view()) + "). ";
  }
  return out;
}

BannerBlock valid_banner(const CheckCount& count) {
  std::string text = std::to_string(count.passed) + (count.passed == 1 ? " check" : " checks") +
                     " passed, none that voids the test has failed";
  if (count.unknown_void > 0)
    text += "; " + std::to_string(count.unknown_void) + " of these could not be judged for want of data";
  if (count.failed_deviation == 0) return {"Valid by the procedure's checks", text + ".", false};
  return {"Valid, with " + std::to_string(count.failed_deviation) +
              (count.failed_deviation == 1 ? " deviation" : " deviations"),
          text + "; the deviations are listed below.", false};
}

std::string trip_words(const ReportData& data) {
  return data.story.trip ? trip_text(*data.story.trip) : std::string("The cause was not recorded.");
}

}  // namespace

TitleBlock title_block(const ReportData& data) {
  const auto& name = data.record.building.name;
  return {"Airtightness test report",
          name.empty() ? "Building not named" : std::string(name.view()),
          {data.meta.run_id, calendar_text(data.meta.started_unix_ms)}};
}

BannerBlock banner_block(const ReportData& data) {
  if (!data.is_test)
    return {"NOT A TEST", "The fan was driven by hand; no procedure was run. There is no result.", true};
  const CheckCount count = count_checks(data);
  switch (data.state) {
    case RunState::done:
    case RunState::invalid:
      if (!data.result.computed)
        return {"NO RESULT", "Too few stations were measured to state any figure. " + count.why, true};
      if (counts_as_result(data)) return valid_banner(count);
      return {"NOT VALID", "The test does not count. " + count.why, true};
    case RunState::tripped:
      return {"TRIPPED – NO RESULT", "The fan was stopped for safety. " + trip_words(data), true};
    case RunState::stopped:
      return {"STOPPED – NO RESULT",
              "The run was stopped before its end. What had been measured by then follows.", true};
    case RunState::none:
    case RunState::running:
    case RunState::interrupted:
      break;
  }
  return {"NOT FINISHED – NO RESULT",
          "The recording holds no end of the run: it is still going on, or it was cut off.", true};
}

FactsBlock building_and_test_block(const ReportData& data, const ReportOptions& options,
                                   const DisplayUnits& units) {
  return {{building_column(data, options.particulars, units), test_column(data, options.particulars),
           conditions_column(data, units)}};
}

SignatureBlock signature_block(const ReportData& data, const ReportOptions& options) {
  const Particulars& p = options.particulars;
  return {counts_as_result(data) ? "Tested and reported by"
                                 : "Tested and reported by (the run has no valid result)",
          {{"Name", p.tester},
           {"Company", p.company},
           {"Licence no.", p.licence},
           {"Date", ""},
           {"Signature", ""}}};
}

}  // namespace leeward::daemon
