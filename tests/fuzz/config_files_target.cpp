// A file of any of our kinds: refused with its faults named, or taken and then used.
#include <memory>

#include "control/engine.hpp"
#include "daemon/config/check_file.hpp"
#include "daemon/config/found_drive.hpp"
#include "daemon/config/load_building.hpp"
#include "daemon/config/load_fan.hpp"
#include "daemon/config/load_house.hpp"
#include "daemon/config/load_population.hpp"
#include "daemon/config/load_procedure.hpp"
#include "daemon/config/load_rig.hpp"
#include "daemon/config/load_targets.hpp"
#include "daemon/devices/register_plan.hpp"
#include "sim/plant.hpp"
#include "sim/random_house.hpp"
#include "tests/fuzz/finite.hpp"
#include "tests/fuzz/require.hpp"
#include "tests/fuzz/scratch_file.hpp"
#include "tests/fuzz/targets.hpp"

namespace leeward::fuzz {
namespace {

using daemon::FileKind;

/// The input lies where its neighbours are those that the files of ours name.
const ScratchFile& input() {
  static const ScratchFile file("input.toml");
  static const bool linked = [] {
    const std::filesystem::path config = LEEWARD_SOURCE_DIR "/config";
    for (const char* kind : {"fans", "houses", "procedures"})
      std::filesystem::create_symlink(config / kind, file.folder() / kind);
    for (const auto& procedure : std::filesystem::directory_iterator(config / "procedures"))
      std::filesystem::create_symlink(procedure.path(),
                                      file.folder() / "input" / procedure.path().filename());
    return true;
  }();
  require(linked, "the neighbours are there");
  return file;
}

void one_step(const control::EngineConfig& config, std::span<const control::Request> requests) {
  const control::Engine engine(config);
  const auto state = std::make_unique<control::EngineState>(engine.initial_state());
  control::Sample sample;
  sample.device = control::DeviceStatus::ok;
  for (int i = 0; i < 3; ++i) {
    sample.stamp_ns += 100'000'000;
    sample.building_pressure_pa = {-1.0 * i, sample.stamp_ns, control::Quality::good};
    for (control::FanReadings& fan : sample.fans)
      fan.signal_pa = {2.0 * i, sample.stamp_ns, control::Quality::good};
    const auto out = engine.step(*state, sample, i == 0 ? requests : std::span<const control::Request>());
    require(out.command.fans[0].drive == control::Drive::off, "the fan stays off");
    require(all_finite(out.trace), "a rig that is taken gives a finite trace");
  }
}

void use_fan(const control::FanSpec& fan) {
  require(all_finite(fan) && !fan.restrictions.empty(), "a fan that is taken has finite restrictions");
  require(fan.fitted >= 0 && static_cast<std::size_t>(fan.fitted) < fan.restrictions.size(),
          "what is fitted is one of the restrictions");
  control::EngineConfig config;
  config.fans.push_back(fan);
  one_step(config, {});
}

void use_rig(const daemon::RigSpec& rig) {
  require(all_finite(rig.engine) && !rig.engine.fans.empty(), "a rig that is taken has finite settings");
  one_step(rig.engine, {});
  const daemon::RegisterPlan plan = daemon::plan_registers(rig.modbus.channels);
  for (const daemon::ReadBlock& block : plan.blocks)
    require(block.count > 0 && block.count <= daemon::kMaxBlockRegisters + 2 && block.address >= 0 &&
                block.address + block.count <= 65536,
            "every block that is read lies within the device's map");
}

void use_procedure(const control::ProcedureSpec& procedure) {
  require(all_finite(procedure), "a procedure that is taken has finite numbers");
  control::EngineConfig config;
  config.fans.push_back(sim::demo_fan());
  config.limits.building_pressure_max_pa = 200;
  control::Request start;
  start.kind = control::RequestKind::start_run;
  start.run.procedure = procedure;
  start.run.direction = procedure.directions == control::DirectionRule::both
                            ? control::DirectionChoice::both
                            : control::DirectionChoice::depressurize;
  one_step(config, {&start, 1});
}

void use_house(const sim::HouseSpec& house) {
  require(all_finite(house), "a house that is taken has finite numbers");
  sim::Plant plant(house, 1);
  plant.set_covered(false);
  plant.set_command(0.5, true);
  for (int i = 0; i < 3; ++i) plant.step(0.1);
  const sim::Measurement seen = plant.measure();
  require(std::isfinite(seen.building_pressure_pa) && std::isfinite(seen.fans[0].signal_pa),
          "a house that is taken has finite pressures");
}

/// @returns whether it was taken
template <class T>
bool is_taken(const daemon::Loaded<T>& file) {
  require(file.value.has_value() == file.errors.empty(), "a file is taken, or its faults are named");
  require(file.errors.size() <= 2 * daemon::Findings::kMostErrors, "faults are kept to a readable number");
  return file.value.has_value();
}

}  // namespace

void config_files(Bytes bytes) {
  const ScratchFile& file = input();
  file.write(bytes);
  const std::string path = file.path();
  switch (daemon::check_file(path).kind) {
    case FileKind::rig:
      if (const auto rig = daemon::load_rig(path); is_taken(rig)) use_rig(*rig.value);
      break;
    case FileKind::fan:
      if (const auto fan = daemon::load_fan(path); is_taken(fan)) use_fan(*fan.value);
      break;
    case FileKind::procedure:
      if (const auto procedure = daemon::load_procedure(path); is_taken(procedure))
        use_procedure(*procedure.value);
      break;
    case FileKind::house:
      if (const auto house = daemon::load_house(path); is_taken(house)) use_house(*house.value);
      break;
    case FileKind::building:
      if (const auto building = daemon::load_building(path); is_taken(building))
        require(all_finite(building.value->building) && all_finite(building.value->conditions),
                "a building that is taken has finite numbers");
      break;
    case FileKind::target:
      if (const auto targets = daemon::load_targets(path); is_taken(targets))
        for (const control::TargetSpec& target : *targets.value)
          require(all_finite(target), "a target that is taken has finite numbers");
      break;
    case FileKind::population:
      if (const auto population = daemon::load_population(path); is_taken(population))
        use_house(sim::random_house(1, population.value->houses));
      break;
    case FileKind::drive:
      if (const auto drive = daemon::load_found_drive(path); is_taken(drive))
        require(control::plausible(drive.value->found), "a found drive that is taken is one that can be");
      break;
    case FileKind::unknown:
      break;
  }
}

}  // namespace leeward::fuzz
