// Pressures and flows measured elsewhere: refused row by row, or analysed to finite figures.
#include <memory>

#include "control/analysis/analyse.hpp"
#include "control/analysis/diagnosis.hpp"
#include "daemon/config/load_procedure.hpp"
#include "daemon/config/load_station_table.hpp"
#include "daemon/report/result_json.hpp"
#include "tests/fuzz/finite.hpp"
#include "tests/fuzz/require.hpp"
#include "tests/fuzz/scratch_file.hpp"
#include "tests/fuzz/targets.hpp"

namespace leeward::fuzz {
namespace {

const control::ProcedureSpec& procedure() {
  static const control::ProcedureSpec loaded =
      *daemon::load_procedure(LEEWARD_SOURCE_DIR "/config/procedures/iso-9972.toml").value;
  return loaded;
}

void analyse_table(const daemon::StationTable& table) {
  const auto run = std::make_unique<control::RunRecord>();
  run->procedure = procedure();
  run->building.volume_m3 = 400;
  run->building.floor_area_m2 = 160;
  run->conditions.indoor_c = 21;
  run->conditions.outdoor_c = 4;
  run->directions = table.directions;
  const auto result = std::make_unique<control::RunResult>(control::analyse(*run));
  require(result->computed || !result->valid, "what was not computed is not valid");
  require(!result->computed || all_finite(*result), "a result holds finite numbers");
  const control::Interval& q = result->q_ref_m3_s;
  require(!q.known || (q.low <= q.value && q.value <= q.high), "an interval holds its value");
}

}  // namespace

void station_tables(Bytes bytes) {
  static const ScratchFile file("table.csv");
  ByteReader reader(bytes);
  const std::uint8_t choice = reader.byte();  // a digit, so that the corpus stays text
  const std::array<std::optional<control::Direction>, 3> wanted{
      std::nullopt, control::Direction::depressurize, control::Direction::pressurize};
  file.write(reader.rest());
  const auto table = daemon::load_station_table(file.path(), procedure(), wanted[choice % wanted.size()]);
  require(table.value.has_value() == table.errors.empty(), "a table is taken, or its faults are named");
  if (!table) return;
  require(!table.value->directions.empty(), "a table that is taken holds a direction");
  analyse_table(*table.value);
}

}  // namespace leeward::fuzz
