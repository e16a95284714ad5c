#include "daemon/document/surfaces.hpp"

#include <cairo-pdf.h>
#include <cairo.h>

#include <cmath>
#include <memory>

#include "daemon/document/drawing_svg.hpp"
#include "daemon/document/pages.hpp"
#include "daemon/document/pictures.hpp"

namespace leeward::daemon {

namespace {

using control::Result;

constexpr std::size_t kFewPages = 3;
constexpr double kPngScale = 2;  // 144 dots per inch
constexpr double kPictureMargin = 14;
constexpr double kPictureTitle = 11;

struct DestroySurface {
  void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
};
struct DestroyCairo {
  void operator()(cairo_t* c) const { cairo_destroy(c); }
};
using SurfacePtr = std::unique_ptr<cairo_surface_t, DestroySurface>;
using CairoPtr = std::unique_ptr<cairo_t, DestroyCairo>;

cairo_status_t append_bytes(void* to, const unsigned char* data, unsigned int size) {
  static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), size);
  return CAIRO_STATUS_SUCCESS;
}

/// @returns the error of a surface or its context, if there is one
std::optional<control::Error> error_of(cairo_surface_t* surface, cairo_t* cairo) {
  cairo_status_t status = cairo_surface_status(surface);
  if (status == CAIRO_STATUS_SUCCESS && cairo != nullptr) status = cairo_status(cairo);
  if (status == CAIRO_STATUS_SUCCESS) return std::nullopt;
  return control::Error{control::Errc::io, "drawing", cairo_status_to_string(status)};
}

void set_properties(cairo_surface_t* pdf, const Document& document) {
  cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_TITLE, valid_utf8(document.title).c_str());
  cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_CREATOR, "Leeward");
  // Without a date of its own the file would carry the hour of its making and differ each time.
  const std::string created = document.created.empty() ? "1970-01-01T00:00:00Z" : document.created;
  cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_CREATE_DATE, created.c_str());
}

/// Pages point into the strips.
struct Laid {
  std::vector<Strip> strips;
  std::vector<Page> pages;
};

/// Pictures give way, within bounds, where that saves a page.
Laid lay_out(const Document& document, Canvas& canvas, StripSource source, double page_height) {
  Laid best;
  for (const double scale : {1.0, 0.92, 0.84, 0.76, 0.7}) {
    source.picture_scale = scale;
    Laid laid;
    laid.strips = strips_of(document, canvas, source);
    laid.pages = pages_of(laid.strips, page_height);
    if (best.pages.empty() || laid.pages.size() < best.pages.size()) best = std::move(laid);
    if (best.pages.size() <= kFewPages) break;
  }
  return best;
}

Size natural_size(Picture picture) {
  switch (picture) {
    case Picture::pressure:
      return {620, 260};
    case Picture::curve:
      return {420, 320};
    case Picture::residuals:
      return {420, 170};
    case Picture::budget:
      break;
  }
  return {320, 220};
}

std::string subtitle_of(const ReportData& data) {
  std::string out = std::string(data.record.building.name.view()) + ", " + data.meta.run_id;
  if (!counts_as_result(data)) out += " – NOT A VALID RESULT";
  return out;
}

/// Where the picture itself goes, below its title.
Rect draw_picture_title(Canvas& canvas, Picture picture, const ReportData& data, double width) {
  const double inner = width - 2 * kPictureMargin;
  double y = kPictureMargin;
  y += canvas.text({kPictureMargin, y}, std::string(picture_title(picture)), {kPictureTitle, true, 0, inner})
           .height;
  y += canvas.text({kPictureMargin, y}, subtitle_of(data), {kSmallText, false, 0.2, inner}).height + 5;
  return {kPictureMargin, y, inner, 0};
}

/// The height that the title takes depends on names, so it is measured on a surface that keeps nothing.
Size whole_size(Picture picture, const ReportData& data) {
  const Size natural = natural_size(picture);
  const SurfacePtr scratch(cairo_recording_surface_create(CAIRO_CONTENT_COLOR, nullptr));
  const CairoPtr cairo(cairo_create(scratch.get()));
  Canvas canvas(cairo.get());
  const double top = draw_picture_title(canvas, picture, data, natural.width).y;
  return {natural.width, std::ceil(top + natural.height + kPictureMargin)};
}

void draw_whole(Canvas& canvas, Picture picture, const ReportData& data, const DisplayUnits& units,
                Size size) {
  canvas.fill({0, 0, size.width, size.height}, 1);
  Rect room = draw_picture_title(canvas, picture, data, size.width);
  room.height = size.height - room.y - kPictureMargin;
  draw_picture(canvas, picture, room, data, units);
}

}  // namespace

Result<PdfFile> document_pdf(const Document& document, const ReportData& data, const ReportOptions& options) {
  PdfFile file;
  const Size paper = paper_size(options.paper);
  const DisplayUnits units = display_units(options.units);
  const SurfacePtr surface(
      cairo_pdf_surface_create_for_stream(append_bytes, &file.bytes, paper.width, paper.height));
  set_properties(surface.get(), document);
  const CairoPtr cairo(cairo_create(surface.get()));
  {
    Canvas canvas(cairo.get());
    const Laid laid =
        lay_out(document, canvas, {page_area(paper).width, 1, &data, &units}, page_area(paper).height);
    const std::vector<Page>& pages = laid.pages;
    file.pages = pages.size();
    for (std::size_t i = 0; i < pages.size(); ++i) {
      draw_page(canvas, pages[i], paper);
      draw_footer(canvas, paper, document.footer, i + 1, pages.size());
      cairo_show_page(cairo.get());
    }
  }
  cairo_surface_finish(surface.get());
  if (auto error = error_of(surface.get(), cairo.get())) return tl::unexpected(*error);
  return file;
}

Result<std::string> picture_svg(Picture picture, const ReportData& data, const DisplayUnits& units) {
  const Size size = whole_size(picture, data);
  const std::string title = std::string(picture_title(picture)) + ", " + subtitle_of(data);
  return drawing_svg(size, title, picture_description(picture, data, units),
                     [&](Canvas& canvas) { draw_whole(canvas, picture, data, units, size); });
}

Result<std::string> picture_png(Picture picture, const ReportData& data, const DisplayUnits& units) {
  std::string out;
  const Size size = whole_size(picture, data);
  const SurfacePtr surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24,
                                                      static_cast<int>(size.width * kPngScale),
                                                      static_cast<int>(size.height * kPngScale)));
  const CairoPtr cairo(cairo_create(surface.get()));
  cairo_scale(cairo.get(), kPngScale, kPngScale);
  {
    Canvas canvas(cairo.get());
    draw_whole(canvas, picture, data, units, size);
  }
  if (auto error = error_of(surface.get(), cairo.get())) return tl::unexpected(*error);
  cairo_surface_write_to_png_stream(surface.get(), append_bytes, &out);
  if (auto error = error_of(surface.get(), cairo.get())) return tl::unexpected(*error);
  return out;
}

}  // namespace leeward::daemon
