#include "daemon/document/canvas.hpp"

#include <glib.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <numbers>

namespace leeward::daemon {

namespace {

struct FreeFont {
  void operator()(PangoFontDescription* font) const { pango_font_description_free(font); }
};
struct FreeOptions {
  void operator()(cairo_font_options_t* options) const { cairo_font_options_destroy(options); }
};
struct FreeText {
  void operator()(gchar* text) const { g_free(text); }
};

constexpr double kDotsPerInch = 72;  // so that a font's points are the canvas's
constexpr double kPangoUnits = PANGO_SCALE;

/// Names come cut at a number of bytes, and from files: no half letters and no control characters get
/// through.
std::string clean(const std::string& text) {
  const std::unique_ptr<gchar, FreeText> valid(
      g_utf8_make_valid(text.data(), static_cast<gssize>(text.size())));
  std::string out(valid.get());
  for (char& c : out)
    if (static_cast<unsigned char>(c) < 0x20U && c != '\n') c = ' ';
  return out;
}

PangoAlignment alignment_of(TextAlign align) {
  if (align == TextAlign::right) return PANGO_ALIGN_RIGHT;
  return align == TextAlign::centre ? PANGO_ALIGN_CENTER : PANGO_ALIGN_LEFT;
}

}  // namespace

struct Canvas::Pango {
  struct Unref {
    void operator()(void* object) const { g_object_unref(object); }
  };
  std::unique_ptr<PangoFontMap, Unref> map;
  std::unique_ptr<PangoContext, Unref> context;
  std::unique_ptr<PangoLayout, Unref> layout;
};

Canvas::Canvas(cairo_t* cairo) : cairo_(cairo), pango_(std::make_unique<Pango>()) {
  pango_->map.reset(pango_cairo_font_map_new());
  pango_cairo_font_map_set_resolution(PANGO_CAIRO_FONT_MAP(pango_->map.get()), kDotsPerInch);
  pango_->context.reset(pango_font_map_create_context(pango_->map.get()));
  const std::unique_ptr<cairo_font_options_t, FreeOptions> options(cairo_font_options_create());
  cairo_font_options_set_hint_style(options.get(), CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options.get(), CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(options.get(), CAIRO_ANTIALIAS_GRAY);
  pango_cairo_context_set_font_options(pango_->context.get(), options.get());
  pango_context_set_round_glyph_positions(pango_->context.get(), FALSE);
  pango_->layout.reset(pango_layout_new(pango_->context.get()));
}

Canvas::~Canvas() = default;

void Canvas::lay_out(const std::string& text, const TextStyle& style) {
  PangoLayout* layout = pango_->layout.get();
  const std::unique_ptr<PangoFontDescription, FreeFont> font(pango_font_description_new());
  pango_font_description_set_family_static(font.get(), "DejaVu Sans");
  pango_font_description_set_weight(font.get(), style.is_bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_size(font.get(), static_cast<int>(style.size_pt * kPangoUnits));
  pango_layout_set_font_description(layout, font.get());
  const std::string cleaned = clean(text);
  pango_layout_set_text(layout, cleaned.data(), static_cast<int>(cleaned.size()));
  pango_layout_set_width(layout, style.width > 0 ? static_cast<int>(style.width * kPangoUnits) : -1);
  pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
  pango_layout_set_alignment(layout, alignment_of(style.align));
}

Size Canvas::measure(const std::string& text, const TextStyle& style) {
  lay_out(text, style);
  int width = 0;
  int height = 0;
  pango_layout_get_size(pango_->layout.get(), &width, &height);
  return {width / kPangoUnits, height / kPangoUnits};
}

Size Canvas::text(Point at, const std::string& text, const TextStyle& style) {
  const Size size = measure(text, style);
  double x = at.x;
  if (style.width <= 0 && style.align == TextAlign::right) x -= size.width;
  if (style.width <= 0 && style.align == TextAlign::centre) x -= size.width / 2;
  grey(style.grey);
  cairo_move_to(cairo_, x, at.y);
  pango_cairo_show_layout(cairo_, pango_->layout.get());
  return size;
}

void Canvas::upright_text(Point middle, const std::string& text, const TextStyle& style) {
  const Size size = measure(text, style);
  grey(style.grey);
  cairo_save(cairo_);
  cairo_translate(cairo_, middle.x, middle.y);
  cairo_rotate(cairo_, -std::numbers::pi / 2);
  cairo_move_to(cairo_, -size.width / 2, -size.height / 2);
  pango_cairo_show_layout(cairo_, pango_->layout.get());
  cairo_restore(cairo_);
}

void Canvas::grey(double level) { cairo_set_source_rgb(cairo_, level, level, level); }

void Canvas::stroke(const Stroke& stroke) {
  grey(stroke.grey);
  cairo_set_line_width(cairo_, stroke.width);
  cairo_set_line_join(cairo_, CAIRO_LINE_JOIN_ROUND);
  cairo_set_dash(cairo_, &stroke.dash, stroke.dash > 0 ? 1 : 0, 0);
  cairo_stroke(cairo_);
}

void Canvas::trace(const std::vector<Point>& points) {
  cairo_new_path(cairo_);
  for (const Point& p : points) cairo_line_to(cairo_, p.x, p.y);
}

void Canvas::line(Point from, Point to, const Stroke& with) { polyline({from, to}, with); }

void Canvas::polyline(const std::vector<Point>& points, const Stroke& with) {
  trace(points);
  stroke(with);
}

void Canvas::area(const std::vector<Point>& points, double level) {
  trace(points);
  grey(level);
  cairo_fill(cairo_);
}

void Canvas::fill(const Rect& rect, double level) {
  grey(level);
  cairo_rectangle(cairo_, rect.x, rect.y, rect.width, rect.height);
  cairo_fill(cairo_);
}

void Canvas::frame(const Rect& rect, const Stroke& with) {
  cairo_new_path(cairo_);
  cairo_rectangle(cairo_, rect.x, rect.y, rect.width, rect.height);
  stroke(with);
}

void Canvas::marker(Point at, Marker kind, double size) {
  const double r = size / 2;
  cairo_new_path(cairo_);
  if (kind == Marker::disc) {
    cairo_arc(cairo_, at.x, at.y, r, 0, 2 * std::numbers::pi);
    grey(0);
    cairo_fill(cairo_);
    return;
  }
  if (kind == Marker::square) {
    cairo_rectangle(cairo_, at.x - r, at.y - r, size, size);
  } else {
    trace({{at.x, at.y - size * 0.7},
           {at.x + size * 0.7, at.y},
           {at.x, at.y + size * 0.7},
           {at.x - size * 0.7, at.y}});
    cairo_close_path(cairo_);
  }
  grey(1);
  cairo_fill_preserve(cairo_);
  stroke({0.9, 0, 0});
}

void Canvas::clip(const Rect& rect) {
  cairo_save(cairo_);
  cairo_rectangle(cairo_, rect.x, rect.y, rect.width, rect.height);
  cairo_clip(cairo_);
}

void Canvas::unclip() { cairo_restore(cairo_); }

}  // namespace leeward::daemon
