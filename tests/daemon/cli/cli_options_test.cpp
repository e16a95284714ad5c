#include "daemon/cli/cli_options.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {
namespace {
template <class T>
T parsed_as(const std::vector<std::string>& arguments) {
  const ParsedLine line = parse_line(arguments);
  EXPECT_TRUE(line.command.has_value()) << line.error;
  if (!line.command || !std::holds_alternative<T>(*line.command)) {
    ADD_FAILURE() << "another command";
    return {};
  }
  return std::get<T>(*line.command);
}

std::string error_of(const std::vector<std::string>& arguments) {
  const ParsedLine line = parse_line(arguments);
  EXPECT_FALSE(line.command.has_value());
  return line.error;
}
}  // namespace

TEST(ParseLine, ReadsARun) {
  const auto run = parsed_as<RunCommand>({"run", "iso-9972", "--building", "b.toml", "--direction", "both"});

  EXPECT_EQ(run.procedure, "iso-9972");
  EXPECT_EQ(run.building, "b.toml");
  EXPECT_EQ(run.direction, "both");
  EXPECT_FALSE(run.is_unattended);
  EXPECT_FALSE(run.presence_s.has_value());
}

TEST(ParseLine, ReadsHowOftenASignOfLifeIsAskedFor) {
  const std::vector<std::string> run{"run", "steady", "--building", "b.toml", "--presence"};
  const auto with = [&run](const std::string& seconds) {
    std::vector<std::string> arguments = run;
    arguments.push_back(seconds);
    return arguments;
  };

  EXPECT_EQ(parsed_as<RunCommand>(with("600")).presence_s, 600);
  EXPECT_NE(error_of(with("10")).find("30"), std::string::npos);
  EXPECT_NE(error_of(with("3600")).find("1800"), std::string::npos);
}

TEST(ParseLine, ReadsHoldAndClimb) {
  const auto hold = parsed_as<HoldCommand>({"hold", "50", "--direction", "pressurize", "--look-round-done"});
  const auto pause = parsed_as<HoldCommand>({"hold"});
  const auto climb = parsed_as<HoldCommand>({"climb", "30", "--rate", "0.5"});

  EXPECT_EQ(hold.target_pa, 50.0);
  EXPECT_TRUE(hold.look_round_done);
  EXPECT_FALSE(hold.is_climb);
  EXPECT_FALSE(pause.target_pa.has_value());
  EXPECT_TRUE(climb.is_climb);
  EXPECT_EQ(climb.rate_pa_s, 0.5);
}

TEST(ParseLine, ReadsATuning) {
  const auto plain = parsed_as<TuneCommand>({"tune", "rig.toml"});
  const auto full = parsed_as<TuneCommand>({"tune", "rig.toml", "--seed", "7", "--pressure", "25", "--method",
                                            "step", "--rule", "amigo-pid", "--out", "new.toml"});

  EXPECT_EQ(plain.rig, "rig.toml");
  EXPECT_EQ(plain.pressure_pa, 50);
  EXPECT_EQ(plain.method, TuneMethod::relay);
  EXPECT_EQ(plain.rule, TuneRule::simc);
  EXPECT_EQ(full.house_seed, 7U);
  EXPECT_EQ(full.pressure_pa, 25);
  EXPECT_EQ(full.method, TuneMethod::step);
  EXPECT_EQ(full.rule, TuneRule::amigo_pid);
  EXPECT_EQ(full.out, "new.toml");
  EXPECT_FALSE(error_of({"tune"}).empty());
  EXPECT_FALSE(error_of({"tune", "rig.toml", "--method", "guess"}).empty());
  EXPECT_FALSE(error_of({"tune", "rig.toml", "--pressure", "nan"}).empty());
  EXPECT_FALSE(error_of({"tune", "rig.toml", "--house", "h.toml", "--seed", "7"}).empty());
  EXPECT_FALSE(error_of({"tune", "rig.toml", "--url", "http://a:1"}).empty());
}

TEST(ParseLine, ReadsAReport) {
  const auto report = parsed_as<ReportCommand>(
      {"report", "run-1", "--pdf", "a.pdf", "--paper", "letter", "--units", "ip", "--tester", "A. Person"});

  EXPECT_EQ(report.run, "run-1");
  EXPECT_EQ(report.pdf, "a.pdf");
  EXPECT_EQ(report.options.paper, Paper::letter);
  EXPECT_EQ(report.options.units, UnitSystem::ip);
  EXPECT_EQ(report.options.particulars.tester, "A. Person");
  EXPECT_EQ(parsed_as<ReportCommand>({"report", "run-1"}).options.units, UnitSystem::metric);
  EXPECT_FALSE(error_of({"report", "run-1", "--paper", "a3"}).empty());
}

TEST(ParseLine, ReadsACampaign) {
  const auto all =
      parsed_as<CampaignCommand>({"campaign", "p.toml", "--runs", "500", "--seed", "7", "--shard", "2/8",
                                  "--out", "x", "--resume", "--against", "closed_loop_s=2"});
  const auto one = parsed_as<CampaignCommand>({"campaign", "p.toml", "--only", "42"});
  const auto merge = parsed_as<CampaignCommand>({"campaign", "--merge", "a", "b", "--out", "c"});

  EXPECT_EQ(all.population, "p.toml");
  EXPECT_EQ(all.runs, 500);
  EXPECT_EQ(all.seed, 7U);
  EXPECT_EQ(all.shard, 2);
  EXPECT_EQ(all.shards, 8);
  EXPECT_TRUE(all.is_resumed);
  EXPECT_EQ(all.against, "closed_loop_s=2");
  EXPECT_EQ(one.only, 42U);
  EXPECT_EQ(merge.merge, (std::vector<std::string>{"a", "b"}));
  EXPECT_EQ(merge.out, "c");
}

TEST(ParseLine, ReadsACampaignOfFaultsWithOrWithoutAFile) {
  const auto shipped = parsed_as<CampaignCommand>({"campaign", "--faults", "--runs", "8"});
  const auto own = parsed_as<CampaignCommand>({"campaign", "--faults", "own.toml", "--runs", "8"});

  EXPECT_TRUE(shipped.is_of_faults);
  EXPECT_TRUE(shipped.population.empty());
  EXPECT_TRUE(own.is_of_faults);
  EXPECT_EQ(own.population, "own.toml");
  EXPECT_EQ(own.runs, 8);
  EXPECT_FALSE(parsed_as<CampaignCommand>({"campaign", "own.toml"}).is_of_faults);
  EXPECT_FALSE(error_of({"campaign", "p.toml", "--faults"}).empty());
  EXPECT_FALSE(error_of({"campaign", "--faults", "--merge", "a"}).empty());
}

TEST(ParseLine, RefusesACampaignThatContradictsItself) {
  for (const char* shard : {"0/2", "3/2", "1", "1/2x", "a/b", "1/99999"})
    EXPECT_FALSE(error_of({"campaign", "p.toml", "--shard", shard}).empty()) << shard;
  EXPECT_FALSE(error_of({"campaign", "p.toml", "--only", "4", "--runs", "5"}).empty());
  EXPECT_FALSE(error_of({"campaign", "p.toml", "--merge", "a"}).empty());
  EXPECT_FALSE(error_of({"campaign", "p.toml", "--runs", "0"}).empty());
}

TEST(ParseLine, RefusesParticularsThatFitOnNoLine) {
  EXPECT_FALSE(error_of({"report", "run-1", "--tester", std::string(121, 'x')}).empty());
  EXPECT_FALSE(error_of({"report", "run-1", "--address", "two\nlines"}).empty());
  EXPECT_FALSE(error_of({"report", "run-1", "--permit", "\xff"}).empty());
}

TEST(ParseLine, RefusesNumbersThatAreNone) {
  for (const char* number : {"nan", "inf", "-5", "0", "1001", "fifty"})
    EXPECT_FALSE(error_of({"hold", number}).empty()) << number;
  EXPECT_FALSE(error_of({"climb", "20"}).empty());
  EXPECT_FALSE(error_of({"climb", "20", "--rate", "nan"}).empty());
  EXPECT_FALSE(error_of({"baseline", "--seconds", "nan"}).empty());
}

TEST(ParseLine, CommonOptionsStandBeforeOrAfterTheCommand) {
  const ParsedLine before = parse_line({"--json", "--socket", "/a", "status"});
  const ParsedLine after = parse_line({"status", "--socket", "/a", "--json"});

  for (const ParsedLine& line : {before, after}) {
    ASSERT_TRUE(line.command.has_value()) << line.error;
    EXPECT_TRUE(line.common.json);
    EXPECT_EQ(line.common.target.socket, "/a");
  }
}

TEST(ParseLine, ATokenFileNeedsAUrl) {
  EXPECT_FALSE(error_of({"status", "--token-file", "t"}).empty());
  EXPECT_EQ(parse_line({"status", "--token-file", "t", "--url", "http://a"}).common.target.token_file, "t");
}

TEST(ParseLine, RefusesOptionsThatCannotBothBeFollowed) {
  EXPECT_NE(error_of({"export", "run-1", "--csv", "-", "--json"}).find("both want standard output"),
            std::string::npos);
  EXPECT_NE(error_of({"status", "--url", "http://a", "--socket", "/s"}).find("two daemons"),
            std::string::npos);
  EXPECT_NE(error_of({"result", "run-1", "--state", "/d", "--socket", "/s"}).find("--state reads"),
            std::string::npos);
  EXPECT_NE(error_of({"procedures", "--url", "http://a"}).find("works on this machine"), std::string::npos);
  EXPECT_NE(error_of({"hold", "--direction", "pressurize"}).find("give the pressure"), std::string::npos);
}

TEST(ParseLine, TakesWhatOnlyLooksContradictory) {
  EXPECT_EQ(parsed_as<ExportCommand>({"export", "run-1", "--csv", "x", "--json"}).csv, "x");
  EXPECT_EQ(parsed_as<ExportCommand>({"export", "run-1", "--csv", "-"}).csv, "-");
  (void)parsed_as<CheckCommand>({"check", "a", "--socket", "/s"});
  (void)parsed_as<RigCommand>({"rig", "--house", "h", "--socket", "/s"});
}

TEST(ParseLine, ReadsTheWeatherOfTheDay) {
  const auto run = parsed_as<RunCommand>(
      {"run", "iso-9972", "--building", "b", "--indoor-c", "21", "--outdoor-c", "-4.5", "--wind-m-s", "0"});

  EXPECT_EQ(run.conditions,
            (std::map<std::string, double>{{"indoor_c", 21}, {"outdoor_c", -4.5}, {"wind_m_s", 0}}));
  for (const char* number : {"nan", "61", "-21", "warm"})
    EXPECT_FALSE(error_of({"run", "a", "--building", "b", "--indoor-c", number}).empty()) << number;
}

TEST(ParseLine, ReadsAStateFolder) {
  EXPECT_EQ(parsed_as<ReplayCommand>({"replay", "run-1", "--state", "/d"}).state, "/d");
  EXPECT_EQ(parsed_as<RecordingCommand>({"recording", "check", "run-1", "--state", "/d"}).state, "/d");
  EXPECT_EQ(parsed_as<ResultCommand>({"result", "run-1", "--state", "/d"}).state, "/d");
  EXPECT_EQ(parsed_as<ExportCommand>({"export", "run-1", "--csv", "x", "--state", "/d"}).state, "/d");
}

TEST(ParseLine, SuggestsTheCommandThatWasMeant) {
  EXPECT_NE(error_of({"staus"}).find("did you mean status?"), std::string::npos);
  EXPECT_NE(error_of({"--socket", "/a", "clear-trp"}).find("clear-trip"), std::string::npos);
  EXPECT_EQ(error_of({"zzzzzz"}).find("did you mean"), std::string::npos);
  EXPECT_TRUE(parse_line({"staus", "--json"}).common.json);
}

TEST(ParseLine, WithoutACommandItSaysWhereHelpIs) {
  EXPECT_NE(parse_line({}).hint.find("--help"), std::string::npos);
  EXPECT_NE(parse_line({"--json"}).hint.find("--help"), std::string::npos);
}

TEST(ParseLine, HelpAndVersion) {
  EXPECT_NE(parse_line({"--help"}).help.find("serve"), std::string::npos);
  EXPECT_NE(parse_line({"hold", "--help"}).help.find("--look-round-done"), std::string::npos);
  EXPECT_TRUE(std::holds_alternative<VersionCommand>(parse_line({"--version"}).command.value()));
}

TEST(ParseLine, ReadsTheRest) {
  EXPECT_EQ(parsed_as<ServeCommand>({"serve", "--config", "r.toml"}).config, "r.toml");
  EXPECT_EQ(parsed_as<RigCommand>({"rig", "--house", "h.toml", "--speed", "10"}).speed, 10);
  EXPECT_EQ(parsed_as<RigCommand>({"rig", "--house", "h.toml", "--auto-crew", "0"}).auto_crew_s, 0.0);
  EXPECT_EQ(parsed_as<CheckCommand>({"check", "a", "b"}).files.size(), 2U);
  EXPECT_EQ(parsed_as<BaselineCommand>({"baseline", "--seconds", "20"}).seconds, 20.0);
  EXPECT_EQ(parsed_as<PlainCommand>({"stop"}).path, "stop");
  EXPECT_EQ(parsed_as<PlainCommand>({"continue"}).path, "continue");
  EXPECT_EQ(parsed_as<PlainCommand>({"here"}).path, "presence");
  EXPECT_EQ(parsed_as<PlainCommand>({"clear-trip"}).path, "clear-trip");
  EXPECT_EQ(parsed_as<AnswerCommand>({"answer", "3", "keep"}).answer, "keep");
  EXPECT_EQ(parsed_as<ResultCommand>({"result", "run-1"}).run, "run-1");
  EXPECT_EQ(parsed_as<ExportCommand>({"export", "run-1", "--csv", "x"}).csv, "x");
  EXPECT_EQ(parsed_as<ReplayCommand>({"replay", "r"}).recording, "r");
  EXPECT_EQ(parsed_as<RecordingCommand>({"recording", "check", "r"}).recording, "r");
  EXPECT_FALSE(error_of({"recording", "mend", "r"}).empty());
  (void)parsed_as<StatusCommand>({"status"});
  (void)parsed_as<WatchCommand>({"watch"});
  (void)parsed_as<AsksCommand>({"asks"});
  (void)parsed_as<RunsCommand>({"runs"});
  (void)parsed_as<ProceduresCommand>({"procedures"});
}

TEST(ParseLine, MissingAndSurplusArgumentsAreErrors) {
  for (const std::vector<std::string>& arguments : {std::vector<std::string>{"run", "iso-9972"},
                                                    {"answer", "3"},
                                                    {"check"},
                                                    {"rig"},
                                                    {"stop", "now"},
                                                    {"result"},
                                                    {"run", "a", "--building", "b", "--direction", "up"},
                                                    {"rig", "--house", "h", "--port", "70000"}})
    EXPECT_FALSE(error_of(arguments).empty()) << arguments[0];
}

}  // namespace leeward::daemon
