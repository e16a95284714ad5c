#include "daemon/document/drawing_svg.hpp"

#include <cairo-svg.h>
#include <cairo.h>
#include <glib.h>

#include <memory>

namespace leeward::daemon {

namespace {

struct DestroySvgSurface {
  void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
};
struct DestroySvgCairo {
  void operator()(cairo_t* c) const { cairo_destroy(c); }
};
struct FreeGlibText {
  void operator()(gchar* text) const { g_free(text); }
};

cairo_status_t append_svg(void* to, const unsigned char* data, unsigned int size) {
  static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), size);
  return CAIRO_STATUS_SUCCESS;
}

/// Cairo numbers the surfaces of a process; the same picture must not depend on how many came before it.
void drop_number(std::string& svg) {
  static constexpr std::string_view kId = "id=\"surface";
  const std::size_t id = svg.find(kId);
  if (id == std::string::npos) return;
  const std::size_t number = id + kId.size();
  svg.erase(number, svg.find('"', number) - number);
}

std::string svg_element(const char* name, const std::string& text) {
  const std::unique_ptr<gchar, FreeGlibText> escaped(g_markup_escape_text(valid_utf8(text).c_str(), -1));
  return "<" + std::string(name) + ">" + escaped.get() + "</" + name + ">\n";
}

void add_words(std::string& svg, const std::string& title, const std::string& description) {
  const std::size_t svg_tag = svg.find("<svg");
  const std::size_t end = svg_tag == std::string::npos ? svg_tag : svg.find('>', svg_tag);
  if (end == std::string::npos) return;
  svg.insert(end + 1, "\n" + svg_element("title", title) + svg_element("desc", description));
}

}  // namespace

std::string valid_utf8(const std::string& text) {
  const std::unique_ptr<gchar, FreeGlibText> valid(
      g_utf8_make_valid(text.data(), static_cast<gssize>(text.size())));
  return valid.get();
}

control::Result<std::string> drawing_svg(Size size, const std::string& title, const std::string& description,
                                         const std::function<void(Canvas&)>& draw) {
  std::string out;
  const std::unique_ptr<cairo_surface_t, DestroySvgSurface> surface(
      cairo_svg_surface_create_for_stream(append_svg, &out, size.width, size.height));
  const std::unique_ptr<cairo_t, DestroySvgCairo> cairo(cairo_create(surface.get()));
  {
    Canvas canvas(cairo.get());
    draw(canvas);
  }
  cairo_surface_finish(surface.get());
  cairo_status_t status = cairo_surface_status(surface.get());
  if (status == CAIRO_STATUS_SUCCESS) status = cairo_status(cairo.get());
  if (status != CAIRO_STATUS_SUCCESS)
    return tl::unexpected(control::Error{control::Errc::io, "drawing", cairo_status_to_string(status)});
  drop_number(out);
  add_words(out, title, description);
  return out;
}

}  // namespace leeward::daemon
