#include "daemon/campaign/campaign_files.hpp"

#include <algorithm>
#include <fstream>
#include <sstream>

#include <nlohmann/json.hpp>

#include "daemon/campaign/campaign_plots.hpp"
#include "daemon/campaign/checksum.hpp"
#include "daemon/campaign/summary_faces.hpp"
#include "daemon/words/json.hpp"

namespace leeward::daemon {

namespace {

using control::Errc;
using control::Error;
using control::Result;

Result<void> replace_file(const std::filesystem::path& path, const std::string& bytes) {
  std::filesystem::path fresh = path;
  fresh += ".new";
  {
    std::ofstream file(fresh, std::ios::binary | std::ios::trunc);
    file << bytes;
    file.close();
    if (!file) return tl::unexpected(Error{Errc::io, fresh.string(), "cannot be written"});
  }
  std::error_code error;
  std::filesystem::rename(fresh, path, error);
  if (error) return tl::unexpected(Error{Errc::io, path.string(), error.message()});
  return {};
}

}  // namespace

Result<void> write_campaign(const std::filesystem::path& folder, const Summary& summary, const Rows& rows) {
  std::error_code error;
  std::filesystem::create_directories(folder, error);
  if (error) return tl::unexpected(Error{Errc::io, folder.string(), error.message()});
  const auto svg = campaign_svg(summary, rows);
  if (!svg) return tl::unexpected(svg.error());
  constexpr int indent = 2;
  auto written = replace_file(folder / "summary.json", json_text(summary_json(summary), indent) + "\n");
  if (written) written = replace_file(folder / "runs.csv", runs_csv(summary.outline, rows));
  if (written) written = replace_file(folder / "plots.svg", *svg);
  return written;
}

Result<StoredResults> merged(const std::vector<std::string>& folders) {
  std::vector<StoredResults> parts;
  for (const std::string& folder : folders) {
    auto part = read_results(folder);
    if (!part) return tl::unexpected(part.error());
    if (!parts.empty() && part->outline.fingerprint != parts[0].outline.fingerprint)
      return tl::unexpected(Error{Errc::conflict, folder,
                                  "is not of the campaign of " + folders[0] +
                                      ": population, settings, runs, seed or program differ"});
    parts.push_back(std::move(*part));
  }
  std::stable_sort(parts.begin(), parts.end(), [](const StoredResults& a, const StoredResults& b) {
    return a.shard.index < b.shard.index;
  });
  StoredResults all = std::move(parts.front());
  for (std::size_t i = 1; i < parts.size(); ++i) all.rows.merge(parts[i].rows);
  const std::size_t wanted = jobs_of(all.outline).size();
  if (all.rows.size() < wanted)
    return tl::unexpected(Error{Errc::missing_key, folders[0],
                                std::to_string(wanted - all.rows.size()) + " of " + std::to_string(wanted) +
                                    " runs are missing: name all shards, and finish each with --resume"});
  return all;
}

std::string program_mark() {
  std::ifstream file("/proc/self/exe", std::ios::binary);
  std::ostringstream bytes;
  bytes << file.rdbuf();
  return hex_text(checksum(bytes.view()));
}

}  // namespace leeward::daemon
