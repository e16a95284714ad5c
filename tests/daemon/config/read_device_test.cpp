#include "daemon/config/read_device.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/daemon/config/rig_files.hpp"

namespace leeward::daemon {
namespace {

using config_test::brief;
using config_test::kRigFanText;
using config_test::rig_text;
using config_test::simulated_rig_text;
using config_test::with;
using testing::ElementsAre;
using testing::HasSubstr;

class ReadDevice : public config_test::RigFiles {};

TEST_F(ReadDevice, CutsABusTimeOutToItsPartOfThePeriodAndWarns) {
  const Loaded<RigSpec> rig = load(rig_text());

  ASSERT_TRUE(rig);
  EXPECT_EQ(rig.value->modbus.timeout_ms, 40);
  EXPECT_THAT(brief(rig.warnings),
              ElementsAre(HasSubstr("device.kind: rig.silence_stop is \"none\""),
                          "9:device.timeout_ms: is 200, cut to 40 ms: at most 0.4 of the sample period"));
}

TEST_F(ReadDevice, FitsTheDefaultTimeOutToAFastRigWithoutAWord) {
  const Loaded<RigSpec> rig = load(with(with(rig_text(), "timeout_ms = 200\n", ""), "sample_hz = 10",
                                        "sample_hz = 50\nsilence_stop = \"watchdog-relay\""));

  ASSERT_TRUE(rig);
  EXPECT_EQ(rig.value->modbus.timeout_ms, 8);
  EXPECT_TRUE(rig.warnings.empty());
}

TEST_F(ReadDevice, RefusesKindsThatThisVersionDoesNotHave) {
  EXPECT_THAT(
      changed("\"modbus-tcp\"", "\"modbus-rtu\""),
      ElementsAre("5:device.kind: is not supported in this version: use \"simulated\" or \"modbus-tcp\""));
  EXPECT_THAT(changed("\"modbus-tcp\"", "\"linux\""),
              ElementsAre(HasSubstr("not supported in this version")));
  EXPECT_THAT(
      changed("\"modbus-tcp\"", "\"serial\""),
      ElementsAre("5:device.kind: must be simulated, modbus-tcp, modbus-rtu or linux, is \"serial\""));
}

TEST_F(ReadDevice, WarnsOfADeviceTimeOutThatNothingSets) {
  const Loaded<RigSpec> rig = load(with(with(rig_text(), "timeout_ms = 200\n", ""), "sample_hz = 10",
                                        "sample_hz = 10\nsilence_stop = \"device-timeout\""));

  ASSERT_TRUE(rig);
  EXPECT_EQ(rig.value->engine.silence_stop, control::SilenceStop::device_timeout);
  EXPECT_THAT(brief(rig.warnings), ElementsAre(HasSubstr("no fan1_timeout")));
}

TEST_F(ReadDevice, ReadsASimulatedRigWithItsHouse) {
  const Loaded<RigSpec> rig = load(simulated_rig_text());

  ASSERT_TRUE(rig) << to_text(rig.errors);
  EXPECT_EQ(rig.value->device, DeviceKind::simulated);
  EXPECT_EQ(rig.value->simulated.speed, 10);
  EXPECT_EQ(rig.value->simulated.seed, 42U);
  EXPECT_EQ(rig.value->simulated.house.volume_m3, 300);
  EXPECT_TRUE(rig.warnings.empty());
}

TEST_F(ReadDevice, FitsTheHousesFanAsTheRigSays) {
  const std::string two = kRigFanText +
                          "[[fan.restriction]]\nname = \"bore-100\"\nk_m3_s_pam = 0.02\nsignal_min_pa = "
                          "5\nsignal_max_pa = 300\n";
  folder_.write("fans/demo-fan.toml", two);

  const Loaded<RigSpec> rig =
      load(with(simulated_rig_text(), "fitted = \"bore-300\"", "fitted = \"bore-100\""));

  ASSERT_TRUE(rig) << to_text(rig.errors);
  EXPECT_EQ(rig.value->engine.fans[0].fitted, 1);
  EXPECT_EQ(rig.value->simulated.house.fans[0].fan.fitted, 1);
}

TEST_F(ReadDevice, RefusesAHouseWithAnotherNumberOfFans) {
  EXPECT_THAT(
      errors(simulated_rig_text() + "[[fan]]\nfile = \"../fans/demo-fan.toml\"\nfitted = \"bore-300\"\n"),
      ElementsAre("6:simulated.house: has 1 fan(s), the rig has 2; they must be as many"));
}

TEST_F(ReadDevice, WarnsOfKeysOfTheOtherKind) {
  const Loaded<RigSpec> rig =
      load(with(simulated_rig_text(), "kind = \"simulated\"", "kind = \"simulated\"\nhost = \"127.0.0.1\""));

  ASSERT_TRUE(rig) << to_text(rig.errors);
  EXPECT_THAT(brief(rig.warnings), ElementsAre("5:device.host: is not used by device.kind = \"simulated\""));
}

}  // namespace
}  // namespace leeward::daemon
