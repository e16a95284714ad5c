#include "daemon/campaign/results_file.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <fstream>
#include <sstream>
#include <utility>

#include <nlohmann/json.hpp>

#include "daemon/campaign/row_line.hpp"

namespace leeward::daemon {

namespace {

using control::Errc;
using control::Error;
using control::Result;

tl::unexpected<Error> results_fault(Errc code, const std::filesystem::path& path, std::string text) {
  return tl::unexpected(Error{code, path.string(), std::move(text)});
}

std::string head_text(const Outline& outline, Shard shard) {
  return nlohmann::json{
      {"leeward_campaign", 1}, {"outline", outline_json(outline)}, {"shard", {shard.index, shard.count}}}
      .dump();
}

bool read_head(std::string_view text, StoredResults& out) {
  const nlohmann::json json = nlohmann::json::parse(text, nullptr, false);
  if (!json.is_object() || json.value("leeward_campaign", 0) != 1) return false;
  const auto shard = json.find("shard");
  if (shard == json.end() || !shard->is_array() || shard->size() != 2) return false;
  if (!(*shard)[0].is_number_integer() || !(*shard)[1].is_number_integer()) return false;
  out.shard = {(*shard)[0].get<int>(), (*shard)[1].get<int>()};
  auto outline = outline_from_json(json.value("outline", nlohmann::json::object()));
  if (!outline) return false;
  out.outline = std::move(*outline);
  return true;
}

}  // namespace

Result<StoredResults> read_results(const std::filesystem::path& folder) {
  const std::filesystem::path path = folder / kResultsName;
  std::ifstream file(path, std::ios::binary);
  if (!file) return results_fault(Errc::io, path, "cannot be read");
  std::ostringstream bytes;
  bytes << file.rdbuf();
  const std::string text = bytes.str();
  StoredResults out;
  bool has_head = false;
  std::vector<Job> jobs;
  for (std::size_t from = 0;;) {
    const std::size_t end = text.find('\n', from);
    if (end == std::string::npos) break;
    const auto inner = opened_line(std::string_view(text).substr(from, end - from));
    from = out.whole_bytes = end + 1;
    if (!has_head) {
      has_head = inner && read_head(*inner, out);
      if (!has_head) break;
      jobs = jobs_of(out.outline);
    } else if (inner) {
      auto row = row_from_text(*inner);
      if (row && row->job < jobs.size()) out.rows[row->job] = std::move(*row);
    }
  }
  if (!has_head)
    return results_fault(Errc::wrong_type, path, "does not begin like the results of a campaign");
  return out;
}

ResultsFile::ResultsFile(ResultsFile&& other) noexcept
    : fd_(std::exchange(other.fd_, -1)), rows_(std::move(other.rows_)) {}

ResultsFile::~ResultsFile() {
  if (fd_ < 0) return;
  ::fsync(fd_);
  ::close(fd_);
}

Result<ResultsFile> ResultsFile::open(const std::filesystem::path& folder, const Outline& outline,
                                      Shard shard, bool go_on) {
  std::error_code error;
  std::filesystem::create_directories(folder, error);
  if (error) return results_fault(Errc::io, folder, error.message());
  const std::filesystem::path path = folder / kResultsName;
  const int fd = ::open(path.c_str(), O_RDWR | O_APPEND | O_CREAT | O_CLOEXEC, 0644);
  if (fd < 0) return results_fault(Errc::io, path, std::strerror(errno));
  ResultsFile file(fd);
  if (::flock(fd, LOCK_EX | LOCK_NB) != 0)
    return results_fault(Errc::busy, path, "another campaign writes there");
  const off_t size = ::lseek(fd, 0, SEEK_END);
  if (size > 0 && !go_on)
    return results_fault(Errc::conflict, path,
                         "results are there already: go on with --resume, or name another folder");
  // A kill between making the file and writing its head leaves it empty.
  const auto ready = size == 0 ? file.write_all(sealed_line(head_text(outline, shard)))
                               : file.take_stored(folder, outline, shard);
  if (!ready) return tl::unexpected(ready.error());
  return file;
}

Result<void> ResultsFile::take_stored(const std::filesystem::path& folder, const Outline& outline,
                                      Shard shard) {
  auto stored = read_results(folder);
  if (!stored) return tl::unexpected(stored.error());
  if (stored->outline.fingerprint != outline.fingerprint || !(stored->shard == shard))
    return results_fault(Errc::conflict, folder / kResultsName,
                         "holds another campaign: population, settings, runs, seed, shard or program differ");
  if (::ftruncate(fd_, static_cast<off_t>(stored->whole_bytes)) != 0)
    return results_fault(Errc::io, folder / kResultsName, std::strerror(errno));
  rows_ = std::move(stored->rows);
  return {};
}

Result<void> ResultsFile::write_all(const std::string& text) {
  for (std::size_t done = 0; done < text.size();) {
    const ssize_t n = ::write(fd_, text.data() + done, text.size() - done);
    if (n < 0 && errno == EINTR) continue;
    if (n < 0) return tl::unexpected(Error{Errc::io, kResultsName, std::strerror(errno)});
    done += static_cast<std::size_t>(n);
  }
  return {};
}

Result<void> ResultsFile::append(const RunRow& row) { return write_all(sealed_line(row_text(row))); }

}  // namespace leeward::daemon
