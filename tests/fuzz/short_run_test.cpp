// The short run of every fuzz target: the corpus as it stands, then a fixed number of seeded changes to it.
// The long run is scripts/fuzz.

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

#include "tests/fuzz/mutate.hpp"
#include "tests/fuzz/targets.hpp"

namespace leeward::fuzz {
namespace {

constexpr std::uint64_t kMutationSeed = 20261128;

Input bytes_of(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

/// What is kept for a target, of the configuration every file that we ship; in the order of the names.
std::vector<std::filesystem::path> seeds_of(const std::string& target) {
  const std::filesystem::path root = LEEWARD_SOURCE_DIR;
  std::vector<std::filesystem::path> out;
  const auto add = [&](const std::filesystem::path& folder, const std::string& extension) {
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder))
      if (entry.is_regular_file() && (extension.empty() || entry.path().extension() == extension))
        out.push_back(entry.path());
  };
  const bool is_config = target == "config_files";
  add(is_config ? root / "config" : root / "tests/fuzz/corpus" / target, is_config ? ".toml" : "");
  std::sort(out.begin(), out.end());
  return out;
}

std::string hexadecimal(const Input& bytes) {
  std::string out;
  for (const std::uint8_t byte : bytes) {
    out += "0123456789abcdef"[byte >> 4U];
    out += "0123456789abcdef"[byte & 15U];
  }
  return out;
}

class ShortRun : public testing::TestWithParam<TargetName> {};

TEST_P(ShortRun, KeepsEveryPromiseOnCorpusAndMutations) {
  const TargetName& target = GetParam();
  std::vector<Input> inputs{{}};
  for (const std::filesystem::path& seed : seeds_of(target.name)) {
    inputs.push_back(bytes_of(seed));
    EXPECT_NO_THROW(target.run(inputs.back())) << seed;
  }
  ASSERT_GT(inputs.size(), 1U) << "a target without a corpus gets nowhere";
  Mutator mutator(kMutationSeed);
  for (int i = 0; i < target.mutations; ++i) {
    const Input input = mutator.next(inputs);
    ASSERT_NO_THROW(target.run(input)) << "mutation " << i << ": " << hexadecimal(input);
  }
}

INSTANTIATE_TEST_SUITE_P(Fuzz, ShortRun, testing::ValuesIn(kTargets),
                         [](const auto& with) { return std::string(with.param.name); });

}  // namespace
}  // namespace leeward::fuzz
