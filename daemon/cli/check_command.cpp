#include <nlohmann/json.hpp>

#include "daemon/cli/output.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/config/check_file.hpp"

namespace leeward::daemon {
namespace {
nlohmann::json findings_json(const std::vector<FileError>& findings) {
  nlohmann::json list = nlohmann::json::array();
  for (const FileError& finding : findings)
    list.push_back({{"file", finding.file},
                    {"line", finding.line},
                    {"column", finding.column},
                    {"key", finding.key},
                    {"text", finding.text}});
  return list;
}
}  // namespace

int run_command(const CheckCommand& command, const CommonOptions& common) {
  nlohmann::json files = nlohmann::json::array();
  bool all_good = true;
  for (const std::string& path : command.files) {
    const CheckReport report = check_file(path);
    const bool is_good = report.errors.empty();
    all_good = all_good && is_good;
    files.push_back({{"file", path},
                     {"kind", file_kind_text(report.kind)},
                     {"ok", is_good},
                     {"errors", findings_json(report.errors)},
                     {"warnings", findings_json(report.warnings)}});
    if (common.json) continue;
    for (const FileError& error : report.errors) print_progress("error: " + to_text(error));
    for (const FileError& warning : report.warnings) print_progress("warning: " + to_text(warning));
    print_text(path + ": " + file_kind_text(report.kind) + (is_good ? ", good" : ", not usable"));
  }
  if (common.json) print_json({{"ok", all_good}, {"files", std::move(files)}});
  return all_good ? exit_done : exit_failed;
}

}  // namespace leeward::daemon
