#include "daemon/cli/output.hpp"

#include <cstdio>

#include <nlohmann/json.hpp>

#include "daemon/words/json.hpp"

namespace leeward::daemon {
namespace {
/// Ends the last line; a text that has ended it already gets no empty line after it.
void print_line(std::FILE* file, const std::string& text) {
  std::fputs(text.c_str(), file);
  if (text.empty() || text.back() != '\n') std::fputc('\n', file);
  std::fflush(file);
}
}  // namespace

int report_failure(bool json, const Failure& failure) {
  if (json) {
    print_json({{"error",
                 {{"code", failure.code},
                  {"detail", failure.detail},
                  {"hint", failure.hint},
                  {"exit", static_cast<int>(failure.exit)}}}});
  } else {
    print_line(stderr, "leeward: " + failure.detail);
    if (!failure.hint.empty()) print_line(stderr, failure.hint);
  }
  return failure.exit;
}

void print_json(const nlohmann::json& json) { print_line(stdout, json_text(json)); }
void print_text(const std::string& text) { print_line(stdout, text); }
void print_progress(const std::string& text) { print_line(stderr, text); }

}  // namespace leeward::daemon
