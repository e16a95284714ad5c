#include "tests/fuzz/spoilt_recording.hpp"

#include <sqlite3.h>

#include <fstream>
#include <iterator>
#include <memory>

#include "daemon/recorder/recorder.hpp"
#include "tests/fuzz/crude_house.hpp"
#include "tests/fuzz/engine_rigs.hpp"
#include "tests/fuzz/require.hpp"

namespace leeward::fuzz {
namespace {

constexpr int kRecordedTicks = 40;
constexpr std::int64_t kRecordedPeriodNs = 200'000'000;

control::Request first_request() {
  control::Request r;
  r.kind = control::RequestKind::baseline;
  r.duration_s = 5;
  return r;
}

void record(daemon::Recorder& recorder, const FuzzRig& rig, control::EngineState& state) {
  CrudeHouse house;
  const control::Request request = first_request();
  control::Sample sample;
  sample.device = control::DeviceStatus::ok;
  for (int i = 0; i < kRecordedTicks; ++i) {
    house.step(static_cast<double>(kRecordedPeriodNs) * 1e-9);
    sample.stamp_ns += kRecordedPeriodNs;
    sample.building_pressure_pa = {house.building_pressure_pa(), sample.stamp_ns, control::Quality::good};
    sample.fans[0].signal_pa = {house.signal_pa(), sample.stamp_ns, control::Quality::good};
    const std::span<const control::Request> requests(&request, i == 0 ? 1 : 0);
    const control::StepOutput out = rig.engine.step(state, sample, requests);
    const bool changed = i == kRecordedTicks - 1;
    recorder.append(static_cast<std::uint64_t>(i), sample, requests, out, changed ? &state : nullptr);
  }
}

class OpenDatabase {
 public:
  explicit OpenDatabase(const std::filesystem::path& file) { sqlite3_open(file.c_str(), &handle_); }
  ~OpenDatabase() { sqlite3_close(handle_); }
  OpenDatabase(const OpenDatabase&) = delete;
  OpenDatabase& operator=(const OpenDatabase&) = delete;
  void run(const std::string& sql) const { sqlite3_exec(handle_, sql.c_str(), nullptr, nullptr, nullptr); }
  /// First column of all rows.
  [[nodiscard]] std::vector<std::string> texts(const std::string& sql) const {
    std::vector<std::string> out;
    const auto take = [](void* into, int, char** values, char**) {
      static_cast<std::vector<std::string>*>(into)->emplace_back(values[0] != nullptr ? values[0] : "");
      return 0;
    };
    sqlite3_exec(handle_, sql.c_str(), take, &out, nullptr);
    return out;
  }

 private:
  sqlite3* handle_ = nullptr;
};

/// As it stands in SQL.
std::string any_cell(ByteReader& bytes) {
  static const std::array<std::string, 14> odd{
      "NULL", "-1",    "0",      "1",   "9223372036854775807", "1e999", "-1e999", "''", "x'00ff'",
      "'{}'", "'[1]'", "'null'", "255", "-9223372036854775808"};
  const std::uint8_t choice = bytes.byte();
  if (choice < 128) return odd[choice % odd.size()];
  std::string text = "'";
  for (const std::uint8_t byte : bytes.take(choice % 24))
    text += byte == '\'' || byte == 0 ? '_' : static_cast<char>(byte);
  return text + "'";
}

struct TableColumns {
  std::string name;
  std::vector<std::string> columns;
};

/// Of the first recording that is seen: all are of one shape.
const std::vector<TableColumns>& tables_of(const OpenDatabase& db) {
  static const std::vector<TableColumns> tables = [&] {
    std::vector<TableColumns> out;
    for (const std::string& name : db.texts("SELECT name FROM sqlite_master WHERE type = 'table'"))
      out.push_back({name, db.texts("SELECT name FROM pragma_table_info('" + name + "')")});
    return out;
  }();
  return tables;
}

}  // namespace

std::vector<std::uint8_t> sound_recording(const std::filesystem::path& folder) {
  const FuzzRig& rig = fuzz_rigs()[0];
  const auto state = std::make_unique<control::EngineState>(rig.fresh);
  daemon::RecordingMeta meta;
  meta.run_id = "run-20261125-140733";
  meta.software_version = "fuzz";
  meta.procedure = "fuzz-short";
  meta.building = "A house, invented";
  meta.rig_text = "[rig]\nname = \"fuzz-rig\"\n";
  meta.engine = rig.engine.config();
  const std::filesystem::path path = folder / "sound.leeward";
  auto recorder = daemon::Recorder::open(path, meta, *state);
  require(recorder.has_value(), "a recording can be made");
  record(**recorder, rig, *state);
  (*recorder)->close(control::RunState::stopped);
  recorder->reset();
  std::ifstream file(path, std::ios::binary);
  std::vector<std::uint8_t> bytes{std::istreambuf_iterator<char>(file), {}};
  require(!bytes.empty(), "a recording has bytes");
  return bytes;
}

void spoil_cells(const std::filesystem::path& file, ByteReader& bytes) {
  const OpenDatabase db(file);
  db.run("PRAGMA synchronous = OFF; PRAGMA journal_mode = MEMORY;");
  const auto& tables = tables_of(db);
  for (std::size_t changes = 1 + bytes.below(4); changes > 0 && !bytes.empty(); --changes) {
    const TableColumns& table = tables[bytes.below(tables.size())];
    const std::string& column = table.columns[bytes.byte() % table.columns.size()];
    const std::string row = std::to_string(bytes.below(kRecordedTicks + 2));
    const std::uint8_t choice = bytes.byte();
    if (choice < 20) {
      db.run("DELETE FROM " + table.name + " WHERE rowid = " + row);
    } else if (choice < 24) {
      db.run("DROP TABLE " + table.name);
    } else if (choice < 28) {
      db.run("ALTER TABLE " + table.name + " RENAME COLUMN " + column + " TO something_else");
    } else {
      const std::string where = choice < 100 ? "" : " WHERE rowid = " + row;
      db.run("UPDATE " + table.name + " SET " + column + " = " + any_cell(bytes) + where);
    }
  }
}

void spoil_bytes(std::vector<std::uint8_t>& file, ByteReader& bytes) {
  const std::size_t changes = 1 + bytes.below(16);
  for (std::size_t i = 0; i < changes && !bytes.empty(); ++i) {
    const std::size_t at = (bytes.word() * std::size_t{256} + bytes.byte()) % file.size();
    const Bytes with = bytes.take(1 + bytes.below(8));
    for (std::size_t k = 0; k < with.size() && at + k < file.size(); ++k) file[at + k] = with[k];
  }
  if (bytes.byte() < 40) file.resize((bytes.word() * std::size_t{256} + bytes.byte()) % file.size());
}

}  // namespace leeward::fuzz
