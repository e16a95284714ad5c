// The real binary refuses what it cannot do, with the exit code that fits.
#include <gtest/gtest.h>

#include "tests/e2e/bench.hpp"

namespace leeward::e2e {
namespace {

using std::chrono::seconds;

nlohmann::json error_of(Process& process, int exit_code) {
  EXPECT_EQ(process.wait_for_exit(seconds(30)), exit_code) << process.output();
  return nlohmann::json::parse(process.output(), nullptr, false).value("error", nlohmann::json::object());
}

TEST(CommandLine, ServeRefusesATokenFileThatOthersCanRead) {
  const Folder folder;
  std::string rig = read_text(source("config/rigs/simulated.toml"));
  Bench::replace(rig, "../", source("config/"));
  rig += "\n[listen]\ntcp_port = 18443\ntoken_file = \"tokens.toml\"\n";
  std::filesystem::permissions(folder.write("tokens.toml", ""), std::filesystem::perms(0644));

  Process serve({binary(), "serve", "--config", folder.write("rig.toml", rig), "--socket",
                 folder / "api.sock", "--json"});

  const nlohmann::json error = error_of(serve, 77);
  EXPECT_NE(error.value("detail", "").find("can be read by others"), std::string::npos) << error;
}

TEST(CommandLine, ARunWithoutTemperaturesIsRefusedBeforeADaemonIsAsked) {
  const Folder folder;

  Process run({binary(), "run", "iso-9972", "--building", folder.write("b.toml", "[building]\n"), "--json"});

  EXPECT_EQ(error_of(run, 64).value("code", ""), "conditions_missing");
}

TEST(CommandLine, ReplayOfAnUnknownRunNamesWhereItLooked) {
  const Folder folder;

  Process replay({binary(), "replay", "run-20261125-000000", "--json"});

  EXPECT_NE(error_of(replay, 65).value("detail", "").find(folder / "state/runs"), std::string::npos);
}

TEST(CommandLine, ExportRefusesTwoThingsOnOneStandardOutput) {
  Process out({binary(), "export", "run-1", "--csv", "-", "--json"});

  EXPECT_EQ(error_of(out, 64).value("code", ""), "usage");
}

}  // namespace
}  // namespace leeward::e2e
