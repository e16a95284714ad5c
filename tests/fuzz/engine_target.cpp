#include "tests/fuzz/engine_story.hpp"
#include "tests/fuzz/targets.hpp"

namespace leeward::fuzz {

void engine(Bytes bytes) {
  ByteReader reader(bytes);
  const auto& rigs = fuzz_rigs();
  const FuzzRig& rig = rigs[reader.below(rigs.size())];
  EngineStory(rig, reader).play();
}

}  // namespace leeward::fuzz
