#pragma once
/// What a command line asks for, as plain values.

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "daemon/config/gauge_accuracy.hpp"
#include "daemon/document/report_options.hpp"
#include "daemon/tune/tune_result.hpp"

namespace leeward::daemon {

/// Where the daemon is; all empty: the default socket.
struct Target {
  std::string socket;
  std::string url;
  std::string token_file;
};

struct ServeCommand {
  std::string config;  ///< empty: the simulated rig that comes with the program
  std::string listen;  ///< HOST:PORT; empty: as the rig file says
};
/// Where a daemon listens when only "on the network" was said.
inline constexpr int kUsualTcpPort = 8787;
struct TokenCommand {
  std::string name;
  bool is_viewer = false;
  bool is_list = false;
  std::string revoke{};
  std::string config{};  ///< rig file, for its token file and address
  std::string file{};    ///< token file; empty: the rig's, or that of the state folder
  std::string save{};    ///< where the token itself is to be written as well
};
struct RigCommand {
  std::string house;
  std::string host = "127.0.0.1";
  int port = 1502;
  double speed = 1;
  std::uint64_t seed = 1;
  std::optional<double> auto_crew_s;
  bool tells_fan = false;
};
struct RigLearnCommand {
  std::string direction;
  std::optional<double> volume_m3;
};
struct CheckCommand {
  std::vector<std::string> files;
};
struct TuneCommand {
  std::string rig;
  std::string house;  ///< file; empty: of the seed, or the rig's own simulated house
  std::optional<std::uint64_t> house_seed{};
  double pressure_pa = 50;
  TuneMethod method = TuneMethod::relay;
  TuneRule rule = TuneRule::simc;
  std::string out;  ///< file to write; empty: the table is printed
};
struct StatusCommand {};
struct WatchCommand {};
struct BaselineCommand {
  std::optional<double> seconds;
};
struct HoldCommand {
  std::optional<double> target_pa{};  ///< none: pause the run where it is
  std::optional<double> rate_pa_s{};  ///< climb
  bool is_climb = false;
  std::string direction{};
  std::optional<double> max_s{};
  bool look_round_done = false;
};
/// continue, presence, stop, clear-trip
struct PlainCommand {
  std::string path;  ///< below /v1/
};
/// How a result is shown.
struct FaceOptions {
  std::string units = "metric";
  std::vector<std::string> targets{};  ///< empty: those that the building file names
  std::string decision = "simple";
};
struct RunCommand {
  std::string procedure;
  std::string building;
  std::string direction;
  bool is_unattended = false;
  std::optional<double> presence_s{};  ///< none: no sign of life is asked for
  bool is_dry_run = false;
  /// By the key of the building file; they win over the file.
  std::map<std::string, double> conditions{};
  FaceOptions face{};
};
struct ResumeCommand {
  std::string run;
  bool is_dry_run = false;
  /// Those that are others than when the run broke off.
  std::map<std::string, double> conditions{};
  FaceOptions face{};
};
struct AsksCommand {};
struct AnswerCommand {
  std::string ask_id;
  std::string answer;
};
struct RunsCommand {};
struct ResultCommand {
  std::string run;
  std::string state;  ///< folder to read from, without a daemon
  FaceOptions face{};
};
struct AnalyseCommand {
  std::string table;
  std::string procedure = "iso-9972";  ///< name or file
  std::string building;
  std::string direction;
  bool is_template = false;
  double calibration_density_kg_m3 = 1.2041;
  double building_gauge_accuracy_frac = kUsualGaugeAccuracyFrac;
  std::map<std::string, double> conditions{};
  FaceOptions face{};
};
struct ExportCommand {
  std::string run;
  std::string csv;
  std::string state;
};
struct ReportCommand {
  std::string run;  ///< id or file
  std::string state;
  std::string pdf;
  std::string svg;  ///< folder for the pictures
  std::string png;
  ReportOptions options;
};
struct ReplayCommand {
  std::string recording;
  std::string state;
};
struct RecordingCommand {
  std::string action;  ///< check
  std::string recording;
  std::string state;
};
struct CampaignCommand {
  std::string population;
  bool is_of_faults = false;  ///< the population must hold faults; none named: the one that comes with us
  int runs = 100;
  std::uint64_t seed = 1;
  std::optional<std::uint64_t> only{};
  int threads = 0;  ///< 0: one for each core
  int shard = 1;    ///< from 1 ...
  int shards = 1;   ///< ... of so many
  std::string out{};
  bool is_resumed = false;
  std::string against{};             ///< rig file, or settings
  std::vector<std::string> merge{};  ///< folders of shards; then nothing is run
};
struct ProceduresCommand {
  std::string procedure;  ///< name or file; empty: lists all
};
struct TargetsCommand {};
struct HelpCommand {
  std::string topic;  ///< a command; empty: the whole program
  bool is_man = false;
  bool is_markdown = false;  ///< of the topic `failures`
  std::string completion{};  ///< of this shell
};
struct VersionCommand {};

using Command =
    std::variant<ServeCommand, RigCommand, CheckCommand, StatusCommand, WatchCommand, BaselineCommand,
                 HoldCommand, PlainCommand, RunCommand, ResumeCommand, AsksCommand, AnswerCommand,
                 RunsCommand, ResultCommand, ExportCommand, ReportCommand, ReplayCommand, RecordingCommand,
                 ProceduresCommand, TargetsCommand, AnalyseCommand, TuneCommand, CampaignCommand,
                 TokenCommand, RigLearnCommand, HelpCommand, VersionCommand>;

/// What every command may be told.
struct CommonOptions {
  Target target;
  bool json = false;
};

}  // namespace leeward::daemon
