#include "daemon/config/load_rig.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/daemon/config/rig_files.hpp"

namespace leeward::daemon {
namespace {

using config_test::brief;
using config_test::kRigFanText;
using config_test::line_of;
using config_test::rig_text;
using config_test::with;
using testing::ElementsAre;
using testing::HasSubstr;

class LoadRig : public config_test::RigFiles {};

TEST_F(LoadRig, TakesTheAgreedExample) {
  const Loaded<RigSpec> rig = load(rig_text());

  ASSERT_TRUE(rig) << to_text(rig.errors);
  EXPECT_EQ(rig.value->engine.rig_name.view(), "demo");
  EXPECT_EQ(rig.value->engine.sample_hz, 10);
  EXPECT_EQ(rig.value->engine.silence_stop, control::SilenceStop::none);
  EXPECT_EQ(rig.value->engine.limits.building_pressure_max_pa, 80);
  ASSERT_EQ(rig.value->engine.fans.size(), 1U);
  EXPECT_EQ(rig.value->engine.fans[0].name.view(), "demo-fan");
  EXPECT_EQ(rig.value->engine.fans[0].fitted, 0);
  EXPECT_EQ(rig.value->device, DeviceKind::modbus_tcp);
  EXPECT_EQ(rig.value->modbus.host, "127.0.0.1");
  EXPECT_EQ(rig.value->modbus.port, 1502);
  EXPECT_EQ(rig.value->modbus.unit, 1);
  ASSERT_EQ(rig.value->modbus.channels.size(), 4U);
  EXPECT_EQ(rig.value->modbus.channels[3].name, "fan1_enable");
  EXPECT_EQ(rig.value->modbus.channels[3].table, RegisterTable::coil);
  EXPECT_EQ(rig.value->modbus.channels[3].type, RegisterType::bit);
  EXPECT_EQ(rig.value->source_text, rig_text());
}

TEST_F(LoadRig, RefusesASampleRateOutOfBounds) {
  EXPECT_THAT(changed("sample_hz = 10", "sample_hz = 51"),
              ElementsAre("3:rig.sample_hz: must be 1 to 50 Hz, is 51"));
  EXPECT_THAT(changed("sample_hz = 10", "sample_hz = nan"),
              ElementsAre("3:rig.sample_hz: must be 1 to 50 Hz, is nan"));
}

TEST_F(LoadRig, RefusesAnUnknownKeyInEveryTable) {
  EXPECT_THAT(changed("name = \"demo\"", "name = \"demo\"\ncolour = 1"),
              ElementsAre("3:rig.colour: unknown key; known here: calibrated, learn_drive, name, sample_hz, "
                          "serial or silence_stop"));
  EXPECT_THAT(changed("host =", "hots ="), ElementsAre("6:device.hots: unknown key; did you mean host?"));
  EXPECT_THAT(changed("word_order =", "wordorder ="),
              ElementsAre("15:device.channel[0].wordorder: unknown key; did you mean word_order?"));
  EXPECT_THAT(changed("building_pressure_max_pa", "building_pressure_max"),
              ElementsAre(HasSubstr("limits.building_pressure_max: unknown key; did you mean "
                                    "building_pressure_max_pa: say the unit")));
  EXPECT_THAT(changed("[limits]", "[limit]"),
              ElementsAre(HasSubstr(":limit: unknown key; did you mean limits?")));
}

TEST_F(LoadRig, RefusesARestrictionThatTheFanDoesNotHave) {
  const std::string text = with(rig_text(), "fitted = \"bore-300\"", "fitted = \"bore-301\"");

  EXPECT_THAT(errors(text), ElementsAre(std::to_string(line_of(text, "bore-301")) +
                                        ":fan[0].fitted: must be bore-300 (of ../fans/demo-fan.toml), is "
                                        "\"bore-301\""));
}

TEST_F(LoadRig, TellsTheErrorsOfTheFanFileWithTheirOwnPlace) {
  folder_.write("fans/demo-fan.toml", with(kRigFanText, "k_m3_s_pam = 0.204", "k_m3_s_pam = -1"));

  const Loaded<RigSpec> rig = load(rig_text());

  ASSERT_EQ(rig.errors.size(), 1U);
  EXPECT_EQ(rig.errors[0].file, folder_.path("fans/demo-fan.toml"));
  EXPECT_EQ(rig.errors[0].line, 8);
  EXPECT_EQ(rig.errors[0].key, "fan.restriction[0].k_m3_s_pam");
}

TEST_F(LoadRig, SaysThatAFanFileIsNotThereWhereItIsNamed) {
  EXPECT_THAT(changed("demo-fan.toml", "demo-fun.toml"),
              ElementsAre(std::to_string(line_of(rig_text(), "file =")) +
                          ":fan[0].file: " + folder_.path("fans/demo-fun.toml") + ": no such file"));
}

TEST_F(LoadRig, RefusesARigWithoutAFan) {
  EXPECT_THAT(errors("[rig]\nname = \"x\"\n[device]\nkind = \"simulated\"\n[simulated]\n"),
              testing::Contains("1:fan: missing: at least one [[fan]]"));
}

TEST_F(LoadRig, ReadsWhereToListenAndRecordRelativeToItself) {
  const Loaded<RigSpec> rig =
      load(with(rig_text(), "[limits]",
                "[listen]\nsocket = \"run/api.sock\"\ntcp_host = \"::1\"\ntcp_port = "
                "8080\ntoken_file = \"/etc/tokens\"\nnames = [\"box.lan\"]\n[recorder]\ndirectory = "
                "\"../runs\"\n[limits]"));

  ASSERT_TRUE(rig) << to_text(rig.errors);
  EXPECT_EQ(rig.value->listen.socket_path, folder_.path("rigs/run/api.sock"));
  EXPECT_EQ(rig.value->listen.tcp_host, "::1");
  EXPECT_EQ(rig.value->listen.tcp_port, 8080);
  EXPECT_EQ(rig.value->listen.token_file, "/etc/tokens");
  EXPECT_THAT(rig.value->listen.names, ElementsAre("box.lan"));
  EXPECT_EQ(rig.value->recordings_directory, folder_.path("runs"));
}

TEST_F(LoadRig, RefusesASocketPathThatNoSocketCanHave) {
  EXPECT_THAT(changed("[limits]", "[listen]\nsocket = \"/" + std::string(107, 's') + "\"\n[limits]"),
              ElementsAre(HasSubstr("listen.socket: the whole path must be at most 107 bytes, has 108")));
}

TEST_F(LoadRig, ReadsLimitsAndRegulator) {
  const Loaded<RigSpec> rig =
      load(rig_text() +
           "sensor_range_pa = 250\nlook_round_pa = 8\nmissing_sample_s = 0.2\n[regulator]\n"
           "drive_lag_s = 0.9\nclosed_loop_s = 2\n");

  ASSERT_TRUE(rig) << to_text(rig.errors);
  EXPECT_EQ(rig.value->engine.limits.sensor_range_pa, 250);
  EXPECT_EQ(rig.value->engine.limits.missing_sample_s, 0.2);
  EXPECT_EQ(rig.value->engine.look_round_pa, 8);
  EXPECT_EQ(rig.value->engine.regulator.drive_lag_s, 0.9);
  EXPECT_EQ(rig.value->engine.regulator.closed_loop_s, 2);
  EXPECT_EQ(rig.value->engine.regulator.drive_slew_s, control::RegulatorSpec{}.drive_slew_s);
}

TEST_F(LoadRig, ReadsGainsThatWereFoundAllTogether) {
  const std::string text = rig_text() + "[regulator]\ntuned_kc_frac_per_pa = 0.005\n";
  const Loaded<RigSpec> rig = load(text + "tuned_pa = 50\ntuned_ti_s = 1.4\n");

  ASSERT_TRUE(rig) << to_text(rig.errors);
  EXPECT_EQ(rig.value->engine.regulator.tuned_kc_frac_per_pa, 0.005);
  EXPECT_EQ(rig.value->engine.regulator.tuned_pa, 50);
  EXPECT_EQ(rig.value->engine.regulator.tuned_ti_s, 1.4);
  EXPECT_THAT(errors(text),
              ElementsAre(HasSubstr("regulator.tuned_kc_frac_per_pa: needs tuned_pa and tuned_ti_s")));
}

TEST_F(LoadRig, RefusesAGaugeRangeThatEndsAtTheCeiling) {
  EXPECT_THAT(errors(rig_text() + "sensor_range_pa = 90\n"),
              ElementsAre(HasSubstr("limits.sensor_range_pa: must be at least 20 Pa above")));
}

TEST_F(LoadRig, RefusesADirectory) {
  EXPECT_THAT(brief(load_rig(folder_.path("fans")).errors),
              ElementsAre("0:: is a directory; name a .toml file in it"));
}

TEST_F(LoadRig, TakesAGaugeToKeepItsScaleToOnePerCentUnlessTold) {
  const auto accuracy = [&](const std::string& line) {
    std::string text = rig_text();
    text.insert(text.find("port = 1502"), line);
    const Loaded<RigSpec> rig = load(text);
    return rig ? rig.value->engine.building_gauge_accuracy_frac : -1;
  };

  EXPECT_EQ(accuracy(""), 0.01);
  EXPECT_EQ(accuracy("building_gauge_accuracy_frac = 0.003\n"), 0.003);
  EXPECT_EQ(accuracy("building_gauge_accuracy_frac = 0\n"), 0);
  EXPECT_EQ(accuracy("building_gauge_accuracy_frac = 0.2\n"), -1);
  EXPECT_EQ(RigSpec{}.engine.building_gauge_accuracy_frac, 0);  // a simulated gauge has no such error
}

TEST_F(LoadRig, ReportsAllErrorsInOneGo) {
  const std::string text =
      with(with(with(rig_text(), "sample_hz = 10", "sample_hz = 0"), "port = 1502", "port = 0"),
           "building_pressure_max_pa = 80", "building_pressure_max_pa = 1000");

  EXPECT_THAT(
      errors(text),
      ElementsAre("3:rig.sample_hz: must be 1 to 50 Hz, is 0", "7:device.port: must be 1 to 65535, is 0",
                  HasSubstr("limits.building_pressure_max_pa: must be 10 to 250 Pa, is 1000")));
}

}  // namespace
}  // namespace leeward::daemon
