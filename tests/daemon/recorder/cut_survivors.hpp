#pragma once
/// What a power cut leaves of a disk: all that was synced, and of the rest nothing, everything, the
/// beginning, or any pieces, each piece whole or torn.

#include <filesystem>
#include <fstream>
#include <random>

#include "tests/daemon/recorder/cut_disk.hpp"

namespace leeward::daemon {

class CutSurvivors {
 public:
  explicit CutSurvivors(std::mt19937_64& random)
      : random_(random), kind_(static_cast<Kind>(random() % 5)), kept_frac_(unit()) {}

  /// Writes the files as they are found after the cut.
  void put(const CutDisk::Files& files, const std::filesystem::path& directory) {
    for (const auto& [name, file] : files) {
      const bool is_uncertain = !file.is_name_safe || file.is_removed;
      if (is_uncertain && random_() % 2 == 0) continue;
      const CutBytes bytes = content(file);
      std::ofstream(directory / name, std::ios::binary)
          .write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    }
  }

 private:
  enum class Kind : std::uint8_t { nothing, everything, beginning, pieces, torn_pieces };
  /// Of the oldest disks and cards; what a disk writes as one is never smaller.
  static constexpr std::size_t kSector = 512;

  double unit() { return std::uniform_real_distribution<double>(0, 1)(random_); }

  CutBytes content(const CutFile& file) {
    CutBytes bytes = file.safe;
    const auto beginning =
        static_cast<std::size_t>(kept_frac_ * static_cast<double>(file.waiting.size() + 1));
    for (std::size_t i = 0; i < file.waiting.size(); ++i) {
      if (kind_ == Kind::nothing || (kind_ == Kind::beginning && i >= beginning)) break;
      if (kind_ == Kind::everything || kind_ == Kind::beginning) {
        file.waiting[i].apply_to(bytes);
      } else {
        put_pieces(file.waiting[i], bytes);
      }
    }
    return bytes;
  }

  /// Sectors lie at multiples of their size in the file, not in the write.
  void put_pieces(const CutChange& change, CutBytes& bytes) {
    if (change.bytes.empty()) {
      if (unit() < kept_frac_) change.apply_to(bytes);
      return;
    }
    std::size_t begin = 0;
    while (begin < change.bytes.size()) {
      const std::size_t in_sector = (change.at + begin) % kSector;
      const std::size_t end = std::min(change.bytes.size(), begin + kSector - in_sector);
      const bool is_torn = kind_ == Kind::torn_pieces && random_() % 4 == 0;
      const std::size_t until = is_torn ? begin + random_() % (end - begin) : end;
      if (unit() < kept_frac_) change.apply_to(bytes, begin, until);
      begin = end;
    }
  }

  std::mt19937_64& random_;
  Kind kind_;
  double kept_frac_;
};

}  // namespace leeward::daemon
