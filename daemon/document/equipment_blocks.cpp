#include "daemon/document/equipment_blocks.hpp"

#include <algorithm>
#include <cmath>

#include "daemon/words/figures.hpp"
#include "daemon/words/version.hpp"

namespace leeward::daemon {

namespace {

bool all_done(const std::vector<ChecklistAnswer>& answers) {
  return std::all_of(answers.begin(), answers.end(), [](const auto& item) { return item.answer == "done"; });
}

/// Two items a row, the second half of the list beside the first. Where every answer is the same, it is said
/// once and the items get its room.
TableBlock answer_table(std::string what, const std::vector<ChecklistAnswer>& answers) {
  TableBlock table;
  const bool is_told_once = all_done(answers);
  if (is_told_once) what += ": each item was answered done";
  for (int half = 0; half < 2; ++half) {
    if (!is_told_once) table.columns.push_back({"Answer", "", CellAlign::left, 0.66});
    table.columns.push_back({half == 0 ? what : "continued", "", CellAlign::left, 4.1});
  }
  const std::size_t rows = (answers.size() + 1) / 2;
  for (std::size_t row = 0; row < rows; ++row) {
    TableRow out;
    for (std::size_t i = row; i < answers.size(); i += rows) {
      if (!is_told_once) out.cells.push_back(answers[i].answer);
      out.cells.push_back(std::to_string(i + 1) + ". " + answers[i].text);
    }
    // A single cell would span the table.
    out.cells.resize(table.columns.size());
    table.rows.push_back(std::move(out));
  }
  return table;
}

std::string stated(const std::string& text) { return text.empty() ? "not stated" : text; }

std::string note_text(const InstrumentNote& note) {
  if (note.serial.empty() && note.calibrated.empty()) return "serial, calibration not stated";
  return "serial " + stated(note.serial) + ", calibrated " + stated(note.calibrated);
}

InstrumentNote note_at(const std::vector<InstrumentNote>& notes, std::size_t i) {
  return i < notes.size() ? notes[i] : InstrumentNote{};
}

/// Stations were recorded with the first fan's restriction.
std::size_t stations_with(const ReportData& data, std::size_t fan, std::size_t restriction) {
  std::size_t stations = 0;
  if (fan > 0) return stations;
  for (const control::DirectionRecord& d : data.record.directions)
    stations +=
        static_cast<std::size_t>(std::count_if(d.stations.begin(), d.stations.end(), [&](const auto& s) {
          return s.restriction == static_cast<int>(restriction);
        }));
  return stations;
}

TableRow restriction_row(const control::RestrictionSpec& r, std::size_t stations, const DisplayUnits& units) {
  const auto flow = [&r](double pa) { return r.k_m3_s_pam * std::pow(pa, r.m); };
  return {{std::string(r.name.view()), cell_in(units.restriction_factor, r.k_m3_s_pam), cell_text(r.m, 3),
           cell_text(r.signal_min_pa, 0) + " to " + cell_text(r.signal_max_pa, 0),
           cell_in(units.flow, flow(r.signal_min_pa)) + " to " + cell_in(units.flow, flow(r.signal_max_pa)),
           r.k_relative_u > 0 ? cell_text(r.k_relative_u * 100, 1) : "not stated",
           std::to_string(stations) + (stations == 1 ? " station" : " stations")}};
}

/// Those that were not used are only named: their calibration is not in the result.
void add_restrictions(const ReportData& data, std::size_t fan, const DisplayUnits& units, TableBlock& table) {
  std::string unused;
  const auto& restrictions = data.meta.engine.fans[fan].restrictions;
  for (std::size_t i = 0; i < restrictions.size(); ++i) {
    const std::size_t stations = stations_with(data, fan, i);
    if (stations > 0) {
      table.rows.push_back(restriction_row(restrictions[i], stations, units));
    } else {
      unused += (unused.empty() ? "Used at no station: " : ", ") + std::string(restrictions[i].name.view());
    }
  }
  if (!unused.empty()) table.rows.push_back({{unused}});
}

TableBlock restriction_table(const ReportData& data, const DisplayUnits& units) {
  TableBlock table;
  const CellAlign right = CellAlign::right;
  table.columns = {{"Restriction", "", CellAlign::left, 1.4},
                   {"K", units.restriction_factor.name, right, 1.1},
                   {"Exponent m", "", right, 1.2},
                   {"Valid signal", "Pa", right, 1.2},
                   {"Flow", units.flow.name, right, 1.5},
                   {"Std. uncertainty of K", "%", right, 2.0},
                   {"Used at", "", CellAlign::left, 1.4}};
  for (std::size_t f = 0; f < data.meta.engine.fans.size(); ++f) {
    const control::FanSpec& fan = data.meta.engine.fans[f];
    table.rows.push_back({{"Fan " + std::to_string(f + 1) + ": " + std::string(fan.name.view()) + ", " +
                           note_text(note_at(data.equipment.fans, f)) + "; calibration holds at " +
                           figure_in(units.density, fan.density_kg_m3)},
                          true});
    add_restrictions(data, f, units, table);
  }
  return table;
}

/// Nothing where none is stated: the cautions say that.
std::string gauge_accuracy_text(const ReportData& data) {
  const double accuracy_frac = data.meta.engine.building_gauge_accuracy_frac;
  return accuracy_frac > 0 ? "; within " + cell_text(100 * accuracy_frac, 2) + " % of its reading" : "";
}

FactColumn instrument_column(const ReportData& data) {
  const Equipment& e = data.equipment;
  FactColumn out{"Instruments",
                 {{"Rig", std::string(data.meta.engine.rig_name.view()) + ", " + note_text(e.rig)},
                  {"Connection", stated(e.connection)},
                  {"Pressure gauge", note_text(e.building_pressure) + gauge_accuracy_text(data)}}};
  for (std::size_t i = 0; i < data.meta.engine.fans.size(); ++i)
    out.facts.emplace_back("Gauge of fan " + std::to_string(i + 1), note_text(note_at(e.signals, i)));
  return out;
}

FactColumn record_column(const ReportData& data) {
  FactColumn out{
      "Recording",
      {{"Run", data.meta.run_id},
       {"Recorded by", "Leeward " + stated(data.meta.software_version)},
       {"Reported by", "Leeward " + std::string(kVersion)},
       {"Samples", std::to_string(data.story.ticks) + " in " + seconds_text(data.story.duration_s)}}};
  return out;
}

FactColumn hash_column(const ReportData& data) {
  FactColumn out{"", {{"SHA-256", data.hash.sha256}}};
  if (data.hash.has_journal)
    out.facts.emplace_back(
        "Note",
        "The recording is open or was not closed: a journal stands beside it, which the SHA-256 "
        "leaves out.");
  if (const auto& from = data.record.continues; !from.sha256.empty())
    out.facts.emplace_back("Of " + std::string(from.run_id.view()), std::string(from.sha256.view()));
  return out;
}

}  // namespace

std::vector<Block> preparation_blocks(const ReportData& data, const ReportOptions& options) {
  std::vector<Block> out;
  if (data.story.preparation.empty()) {
    out.emplace_back(ParagraphBlock{"The recording holds no preparation list."});
  } else {
    out.emplace_back(answer_table("Preparation", data.story.preparation));
  }
  out.emplace_back(FactsBlock{{{"", {{"Temporary seals", options.particulars.seals}}}}});
  const auto& list = data.story.restore;
  if (list.empty()) return out;
  if (all_done(list)) {
    out.emplace_back(
        ParagraphBlock{"Afterwards all " + std::to_string(list.size()) +
                       " items of the restore list were answered done (seals out, appliances back, "
                       "traps filled, doors and windows as found)."});
  } else {
    out.emplace_back(answer_table("Restoring", list));
  }
  return out;
}

std::vector<Block> equipment_blocks(const ReportData& data, const DisplayUnits& units) {
  std::vector<Block> out;
  out.emplace_back(FactsBlock{{instrument_column(data), record_column(data)}});
  out.emplace_back(FactsBlock{{hash_column(data)}});
  if (!data.meta.engine.fans.empty()) out.emplace_back(restriction_table(data, units));
  return out;
}

}  // namespace leeward::daemon
