#include "daemon/document/file_hash.hpp"

#include <glib.h>

#include <array>
#include <fstream>
#include <memory>

namespace leeward::daemon {

namespace {

constexpr std::size_t kReadBytes = 1U << 16U;

struct FreeChecksum {
  void operator()(GChecksum* sum) const { g_checksum_free(sum); }
};

bool journal_holds_data(const std::filesystem::path& path) {
  std::error_code error;
  const auto size = std::filesystem::file_size(path.string() + "-wal", error);
  return !error && size > 0;
}

}  // namespace

control::Result<FileHash> hash_recording(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  const std::unique_ptr<GChecksum, FreeChecksum> sum(g_checksum_new(G_CHECKSUM_SHA256));
  std::array<char, kReadBytes> block{};
  while (file.read(block.data(), block.size()) || file.gcount() > 0)
    g_checksum_update(sum.get(), reinterpret_cast<const guchar*>(block.data()), file.gcount());
  if (file.bad() || !file.eof())
    return tl::unexpected(control::Error{control::Errc::io, path.string(), "cannot be read"});
  return FileHash{g_checksum_get_string(sum.get()), journal_holds_data(path)};
}

}  // namespace leeward::daemon
