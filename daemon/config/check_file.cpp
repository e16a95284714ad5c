#include "daemon/config/check_file.hpp"

#include <array>
#include <string_view>

#include "daemon/config/found_drive.hpp"
#include "daemon/config/load_building.hpp"
#include "daemon/config/load_fan.hpp"
#include "daemon/config/load_house.hpp"
#include "daemon/config/load_population.hpp"
#include "daemon/config/load_procedure.hpp"
#include "daemon/config/load_rig.hpp"
#include "daemon/config/load_targets.hpp"
#include "daemon/config/near_key.hpp"
#include "daemon/config/parse_toml.hpp"

namespace leeward::daemon {
namespace {

struct KindOfTable {
  const char* table;
  FileKind kind;
};
/// In the order in which they are looked for.
constexpr std::array kTableKinds = std::to_array<KindOfTable>({{"population", FileKind::population},
                                                               {"rig", FileKind::rig},
                                                               {"house", FileKind::house},
                                                               {"procedure", FileKind::procedure},
                                                               {"building", FileKind::building},
                                                               {"targets", FileKind::target},
                                                               {"fan", FileKind::fan},
                                                               {"drive", FileKind::drive}});

FileKind kind_of(const TomlNode& root) {
  for (const KindOfTable& k : kTableKinds)
    // A rig and a house hold [[fan]] entries; only a table makes a fan file.
    if (const TomlNode* node = root.find(k.table); node != nullptr && node->kind == TomlNode::Kind::table)
      return k.kind;
  return FileKind::unknown;
}

void report_unknown_kind(const TomlNode& root, Findings& findings) {
  std::vector<std::string> tables;
  for (const KindOfTable& k : kTableKinds) tables.emplace_back(k.table);
  std::string text = "not a file of ours: no table " + one_of(tables);
  for (const TomlMember& member : root.members) {
    const std::string_view meant = nearest_word(member.key, tables);
    if (meant.empty() || meant == member.key) continue;
    findings.error(member.line, member.column, member.key,
                   text + "; did you mean [" + std::string(meant) + "]?");
    return;
  }
  findings.error(0, 0, "", std::move(text));
}

template <class T>
CheckReport report(FileKind kind, Loaded<T> loaded) {
  return {kind, std::move(loaded.errors), std::move(loaded.warnings)};
}

}  // namespace

const char* file_kind_text(FileKind kind) {
  switch (kind) {
    case FileKind::rig:
      return "rig file";
    case FileKind::fan:
      return "fan file";
    case FileKind::procedure:
      return "procedure file";
    case FileKind::house:
      return "house file";
    case FileKind::building:
      return "building file";
    case FileKind::target:
      return "target file";
    case FileKind::population:
      return "population file";
    case FileKind::drive:
      return "file of what was found of a drive";
    case FileKind::unknown:
      break;
  }
  return "unknown file";
}

CheckReport check_file(const std::string& path) {
  Findings findings(path);
  const auto file = parse_toml_file(path, findings);
  const FileKind kind = file ? kind_of(file->root) : FileKind::unknown;
  switch (kind) {
    case FileKind::rig:
      return report(kind, load_rig(path));
    case FileKind::fan:
      return report(kind, load_fan(path));
    case FileKind::procedure:
      return report(kind, load_procedure(path));
    case FileKind::house:
      return report(kind, load_house(path));
    case FileKind::building:
      return report(kind, load_building(path));
    case FileKind::target:
      return report(kind, load_targets(path));
    case FileKind::population:
      return report(kind, load_population(path));
    case FileKind::drive:
      return report(kind, load_found_drive(path));
    case FileKind::unknown:
      break;
  }
  if (file) report_unknown_kind(file->root, findings);
  return {kind, std::move(findings.errors), std::move(findings.warnings)};
}

}  // namespace leeward::daemon
