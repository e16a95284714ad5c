#pragma once
/// Every command of the program, one function each. All return the exit code.

#include "daemon/cli/commands.hpp"

namespace leeward::daemon {

int run_command(const ServeCommand& command, const CommonOptions& common);
int run_command(const RigCommand& command, const CommonOptions& common);
int run_command(const RigLearnCommand& command, const CommonOptions& common);
int run_command(const CheckCommand& command, const CommonOptions& common);
int run_command(const TuneCommand& command, const CommonOptions& common);
int run_command(const StatusCommand& command, const CommonOptions& common);
int run_command(const WatchCommand& command, const CommonOptions& common);
int run_command(const BaselineCommand& command, const CommonOptions& common);
int run_command(const HoldCommand& command, const CommonOptions& common);
int run_command(const PlainCommand& command, const CommonOptions& common);
int run_command(const RunCommand& command, const CommonOptions& common);
int run_command(const ResumeCommand& command, const CommonOptions& common);
int run_command(const AsksCommand& command, const CommonOptions& common);
int run_command(const AnswerCommand& command, const CommonOptions& common);
int run_command(const RunsCommand& command, const CommonOptions& common);
int run_command(const ResultCommand& command, const CommonOptions& common);
int run_command(const ExportCommand& command, const CommonOptions& common);
int run_command(const ReportCommand& command, const CommonOptions& common);
int run_command(const ReplayCommand& command, const CommonOptions& common);
int run_command(const RecordingCommand& command, const CommonOptions& common);
int run_command(const TargetsCommand& command, const CommonOptions& common);
int run_command(const AnalyseCommand& command, const CommonOptions& common);
int run_command(const CampaignCommand& command, const CommonOptions& common);
int run_command(const ProceduresCommand& command, const CommonOptions& common);
int run_command(const TokenCommand& command, const CommonOptions& common);
int run_command(const HelpCommand& command, const CommonOptions& common);
int run_command(const VersionCommand& command, const CommonOptions& common);

/// The whole program.
[[nodiscard]] int run_cli(int argc, const char* const* argv);

}  // namespace leeward::daemon
