#pragma once
/// Where a command's words go: data to standard output, progress and errors to standard error; with
/// --json exactly one object to standard output, errors too.

#include <string>

#include <nlohmann/json_fwd.hpp>

#include "daemon/cli/exit_code.hpp"

namespace leeward::daemon {

struct Failure {
  ExitCode exit = exit_failed;
  std::string code;
  std::string detail;
  std::string hint{};
};

/// @returns the failure's exit code
int report_failure(bool json, const Failure& failure);
void print_json(const nlohmann::json& json);
void print_text(const std::string& text);      ///< to standard output, with a line end
void print_progress(const std::string& text);  ///< to standard error, with a line end

}  // namespace leeward::daemon
