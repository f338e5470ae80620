#include "analyzer/report/svg.hpp"

#include <charconv>
#include <cmath>

namespace paneproof {
namespace {

class SvgPainter {
 public:
  explicit SvgPainter(const Picture& picture) : picture_(picture) {}

  std::string paint() {
    out_ = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\"";
    number("width", picture_.width);
    number("height", picture_.height);
    out_ += " viewBox=\"0 0 ";
    append(picture_.width);
    out_ += ' ';
    append(picture_.height);
    out_ += "\" role=\"img\" font-family=\"DejaVu Sans, Verdana, sans-serif\">\n<title>";
    escaped(picture_.title);
    out_ += "</title>\n";
    for (const Shape& shape : picture_.shapes)
      std::visit([&](const auto& form) { draw(shape, form); }, shape.form);
    out_ += "</svg>\n";
    return std::move(out_);
  }

 private:
  void append(double value) {
    char digits[400];
    const double hundredths = std::isfinite(value) ? std::round(value * 100.0) / 100.0 + 0.0 : 0.0;
    const auto end =
        std::to_chars(digits, digits + sizeof digits, hundredths, std::chars_format::fixed, 2).ptr;
    std::string_view text(digits, static_cast<std::size_t>(end - digits));
    while (text.back() == '0') text.remove_suffix(1);
    if (text.back() == '.') text.remove_suffix(1);
    out_ += text == "-0" ? "0" : text;
  }

  void number(const char* name, double value) {
    out_.append(" ").append(name).append("=\"");
    append(value);
    out_ += '"';
  }

  void escaped(std::string_view text) {
    for (const char c : text) {
      switch (c) {
        case '&':
          out_ += "&amp;";
          break;
        case '<':
          out_ += "&lt;";
          break;
        case '>':
          out_ += "&gt;";
          break;
        case '"':
          out_ += "&quot;";
          break;
        default:
          out_ += c;
      }
    }
  }

  void colour(const char* name, const std::optional<Colour>& value) {
    static const char* const hex = "0123456789abcdef";
    out_.append(" ").append(name).append("=\"");
    if (value) {
      out_ += '#';
      for (const std::uint8_t part : {value->red, value->green, value->blue}) {
        out_ += hex[part >> 4];
        out_ += hex[part & 15];
      }
    } else {
      out_ += "none";
    }
    out_ += '"';
  }

  void open(const char* element, const Shape& shape) {
    out_.append("<").append(element).append(" class=\"").append(shape.role).append("\"");
    colour("fill", shape.fill);
    if (!shape.pen) return;
    colour("stroke", shape.pen->colour);
    number("stroke-width", shape.pen->width);
    out_ += " stroke-linecap=\"round\" stroke-linejoin=\"round\"";
    if (shape.pen->dash > 0) {
      out_ += " stroke-dasharray=\"";
      append(shape.pen->dash);
      out_ += ' ';
      append(shape.pen->gap);
      out_ += '"';
    }
  }

  void draw(const Shape& shape, const Rectangle& form) {
    open("rect", shape);
    number("x", form.x);
    number("y", form.y);
    number("width", form.width);
    number("height", form.height);
    if (form.radius > 0) number("rx", form.radius);
    out_ += "/>\n";
  }

  void draw(const Shape& shape, const Disc& form) {
    open("circle", shape);
    number("cx", form.x);
    number("cy", form.y);
    number("r", form.radius);
    out_ += "/>\n";
  }

  void draw(const Shape& shape, const Polyline& form) {
    open(form.closed ? "polygon" : "polyline", shape);
    out_ += " points=\"";
    for (const Spot& spot : form.spots) {
      append(spot.x);
      out_ += ',';
      append(spot.y);
      out_ += ' ';
    }
    if (!form.spots.empty()) out_.pop_back();
    out_ += "\"/>\n";
  }

  void draw(const Shape& shape, const Segments& form) {
    open("path", shape);
    out_ += " d=\"";
    for (const auto& [from, to] : form.lines) {
      out_ += 'M';
      append(from.x);
      out_ += ' ';
      append(from.y);
      out_ += 'L';
      append(to.x);
      out_ += ' ';
      append(to.y);
    }
    out_ += "\"/>\n";
  }

  void draw(const Shape& shape, const Lettering& form) {
    open("text", shape);
    number("x", form.x);
    number("y", form.y);
    number("font-size", form.size);
    if (form.bold) out_ += " font-weight=\"bold\"";
    if (form.anchor != Anchor::start)
      out_ += form.anchor == Anchor::middle ? " text-anchor=\"middle\"" : " text-anchor=\"end\"";
    out_ += '>';
    escaped(form.characters);
    out_ += "</text>\n";
  }

  const Picture& picture_;
  std::string out_;
};

}  // namespace

std::string paint_svg(const Picture& picture) { return SvgPainter(picture).paint(); }

}  // namespace paneproof
