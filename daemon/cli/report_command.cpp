#include <filesystem>
#include <fstream>

#include <nlohmann/json.hpp>

#include "daemon/cli/output.hpp"
#include "daemon/cli/recording_place.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/document/pictures.hpp"
#include "daemon/document/report_pdf.hpp"
#include "daemon/document/surfaces.hpp"

namespace leeward::daemon {
namespace {

using control::Errc;
using control::Result;

Result<void> write_bytes(const std::filesystem::path& path, const std::string& bytes) {
  std::ofstream file(path, std::ios::binary | std::ios::trunc);
  file << bytes;
  file.close();
  if (!file) return tl::unexpected(control::Error{Errc::io, path.string(), "cannot be written"});
  return {};
}

using PictureMaker = Result<std::string> (*)(Picture, const ReportData&, const DisplayUnits&);

/// Every picture into a folder, which is made where it is not there.
Result<void> write_pictures(const std::filesystem::path& folder, const std::string& ending, PictureMaker make,
                            const ReportData& data, const DisplayUnits& units, nlohmann::json& files) {
  std::error_code error;
  std::filesystem::create_directories(folder, error);
  if (error) return tl::unexpected(control::Error{Errc::io, folder.string(), error.message()});
  for (const Picture picture : {Picture::pressure, Picture::curve, Picture::residuals, Picture::budget}) {
    const auto bytes = make(picture, data, units);
    if (!bytes) return tl::unexpected(bytes.error());
    const std::filesystem::path path = folder / (std::string(picture_name(picture)) + ending);
    if (const auto written = write_bytes(path, *bytes); !written) return written;
    files.push_back(path.string());
  }
  return {};
}

Result<nlohmann::json> write_report(const ReportCommand& command, const ReportData& data) {
  nlohmann::json files = nlohmann::json::array();
  const DisplayUnits units = display_units(command.options.units);
  if (!command.pdf.empty()) {
    const auto pdf = report_pdf(data, command.options);
    if (!pdf) return tl::unexpected(pdf.error());
    if (const auto written = write_bytes(command.pdf, *pdf); !written) return tl::unexpected(written.error());
    files.push_back(command.pdf);
  }
  if (!command.svg.empty()) {
    const auto written = write_pictures(command.svg, ".svg", picture_svg, data, units, files);
    if (!written) return tl::unexpected(written.error());
  }
  if (!command.png.empty()) {
    const auto written = write_pictures(command.png, ".png", picture_png, data, units, files);
    if (!written) return tl::unexpected(written.error());
  }
  return files;
}

}  // namespace

int run_command(const ReportCommand& command, const CommonOptions& common) {
  if (command.pdf.empty() && command.svg.empty() && command.png.empty())
    return report_failure(common.json, {exit_usage, "usage", "nothing to write",
                                        "say --pdf FILE, --svg FOLDER or --png FOLDER"});
  const auto path = find_recording(command.run, command.state, common.target);
  if (!path) return report_failure(common.json, path.error());
  const auto data = read_report_data(*path);
  if (!data)
    return report_failure(common.json,
                          {exit_data, "bad_recording", data.error().field + ": " + data.error().text});
  const auto files = write_report(command, *data);
  if (!files)
    return report_failure(common.json, {exit_io, "io", files.error().field + ": " + files.error().text});
  if (common.json) {
    print_json({{"files", *files}, {"result_counts", counts_as_result(*data)}});
  } else {
    for (const nlohmann::json& file : *files) print_text(file.get<std::string>());
  }
  return exit_done;
}

}  // namespace leeward::daemon
