// Rigs that differ from the virtual one in nothing but their rig file.
#include <gtest/gtest.h>

#include "daemon/config/load_house.hpp"
#include "sim/house_truth.hpp"
#include "tests/e2e/map_proxy.hpp"

namespace leeward::e2e {
namespace {

using std::chrono::seconds;

TEST(OtherMaps, AddressesTypesScalesAndWordOrderComeFromTheRigFileAlone) {
  const Folder folder;
  Bench bench(folder, 10);
  ASSERT_GT(bench.port(), 0);
  const MapProxy proxy(bench.port());
  RigClient crew(bench.port());
  ASSERT_TRUE(crew.put(101, 1));  // that file says bore-290 is fitted
  std::string rig = read_text(source("config/rigs/other-map.toml"));
  Bench::replace(rig, "port = 1503", "port = " + std::to_string(proxy.port()));
  ASSERT_TRUE(bench.serve(folder, rig));

  Process run({binary(), "run", "single-point", "--building", source("config/buildings/demo-building.toml"),
               "--json", "--socket", bench.socket()});
  ASSERT_EQ(run.wait_for_exit(seconds(200)), 0) << run.output();

  const nlohmann::json result = nlohmann::json::parse(run.output());
  const double truth =
      3600 * sim::true_q50_m3_s(*daemon::load_house(source("config/houses/demo-house.toml")).value);
  EXPECT_NEAR(result["q50_m3_h"].get<double>() / truth, 1, 0.05);
  EXPECT_EQ(result["conditions"]["outdoor_c"], 4);
  EXPECT_TRUE(crew.fan_is_off());
}

TEST(OtherMaps, ACounterTenTimesFasterThanRealTimeIsTheClock) {
  const Folder folder;
  Bench bench(folder, 10);
  ASSERT_TRUE(bench.serve(folder));
  const auto count = [&] { return bench.status()["engine_time_s"].get<double>(); };
  const double before = count();
  const auto begin = Clock::now();

  ASSERT_EQ(bench.post("/v1/baseline", R"({"duration_s": 20})"), 200);
  ASSERT_TRUE(await([&] { return bench.status()["zero_flow_pa"].is_number(); }, seconds(30)));

  const double wall_s = std::chrono::duration<double>(Clock::now() - begin).count();
  const double engine_s = count() - before;
  EXPECT_GE(engine_s, 20);
  EXPECT_NEAR(engine_s / wall_s, 10, 2.5);
}

}  // namespace
}  // namespace leeward::e2e
