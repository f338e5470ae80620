#include "capture/log/panel_profile.hpp"

#include <charconv>
#include <cmath>
#include <set>
#include <string>

#include "capture/bytes/lines.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr double kLongest_mm = 2000, kLargestRange = 1e9;
constexpr std::size_t kMasks = 1000;

class ProfileReader {
 public:
  explicit ProfileReader(Source& source) : lines_(source), file_(source.name()) {}

  PanelRequest whole() {
    while (lines_.next()) {
      left_ = lines_.text().substr(0, lines_.text().find('#'));
      blanks();
      if (!left_.empty()) line();
    }
    if (request_.width_mm.has_value() != request_.height_mm.has_value())
      throw InputError(file_, "", "expected both width_mm and height_mm, or none", "add the missing one");
    if (request_.width_mm) request_.size_origin = "profile " + file_;
    return std::move(request_);
  }

 private:
  void line() {
    const std::string_view name = word("= \t");
    const std::string_view at = name;
    blanks();
    if (left_.empty() || left_[0] != '=') fail("=", left_);
    left_.remove_prefix(1);
    blanks();
    if (name != "mask" && !seen_.insert(std::string(name)).second)
      fail("each name once, but here is a second " + std::string(name), at);
    value(name);
    blanks();
    if (!left_.empty()) fail("the end of the line", left_);
  }

  void value(std::string_view name) {
    if (name == "width_mm") return set(request_.width_mm, 10, kLongest_mm);
    if (name == "height_mm") return set(request_.height_mm, 10, kLongest_mm);
    if (name == "range_x") return set(request_.range_x, 1, kLargestRange);
    if (name == "range_y") return set(request_.range_y, 1, kLargestRange);
    if (name == "rim_mm") return void(request_.rim_mm = number(0, kLongest_mm));
    if (name == "corner_radius_mm") return void(request_.corner_radius_mm = number(0, kLongest_mm));
    if (name == "rotate_deg") return rotation();
    if (name == "mask") return mask();
    fail("one of width_mm, height_mm, range_x, range_y, rotate_deg, rim_mm, corner_radius_mm, mask", name);
  }

  void rotation() {
    const std::string_view at = left_;
    const double degrees = number(0, 270);
    if (std::fmod(degrees, 90) != 0) fail("0, 90, 180 or 270", at);
    request_.rotate_deg = static_cast<int>(degrees);
  }

  void mask() {
    const std::string_view kind = word(" \t");
    MaskShape shape;
    if (kind == "circle")
      shape.kind = MaskShape::Kind::circle;
    else if (kind != "rectangle")
      fail("rectangle or circle", kind);
    if (request_.mask.size() == kMasks) fail("at most 1000 masks", kind);
    shape.x_mm = number(-kLongest_mm, kLongest_mm);
    shape.y_mm = number(-kLongest_mm, kLongest_mm);
    shape.width_mm = number(0, 2 * kLongest_mm);
    shape.height_mm = shape.kind == MaskShape::Kind::circle ? shape.width_mm : number(0, 2 * kLongest_mm);
    blanks();
    while (!left_.empty() && (left_.back() == ' ' || left_.back() == '\t')) left_.remove_suffix(1);
    if (left_.empty()) fail("a name for the mask, such as notch", left_);
    shape.name = printable(left_, 80);
    left_ = {};
    request_.mask.push_back(std::move(shape));
  }

  void set(std::optional<double>& field, double least, double most) { field = number(least, most); }

  double number(double least, double most) {
    blanks();
    double value = 0;
    const auto [end, error] = std::from_chars(left_.data(), left_.data() + left_.size(), value);
    const auto length = static_cast<std::size_t>(end - left_.data());
    const bool ends = length == left_.size() || left_[length] == ' ' || left_[length] == '\t';
    if (error != std::errc() || !ends || !(value >= least && value <= most))
      fail("a number from " + shown(least) + " to " + shown(most), left_);
    left_.remove_prefix(length);
    return value;
  }

  static std::string shown(double bound) { return std::to_string(static_cast<long long>(bound)); }

  void blanks() {
    while (!left_.empty() && (left_[0] == ' ' || left_[0] == '\t')) left_.remove_prefix(1);
  }

  std::string_view word(const char* stops) {
    blanks();
    const std::string_view found = left_.substr(0, left_.find_first_of(stops));
    left_.remove_prefix(found.size());
    return found;
  }

  // `at` lies in the line, or is its end.
  [[noreturn]] void fail(const std::string& expected, std::string_view at) const {
    const std::string_view line = lines_.text();
    const std::size_t column =
        at.data() == nullptr ? line.size() : static_cast<std::size_t>(at.data() - line.data());
    std::string here(line.substr(0, std::min<std::size_t>(column, line.size())));
    if (here.size() > 40) here = "..." + here.substr(here.size() - 40);
    throw InputError(file_,
                     "line " + std::to_string(lines_.number()) + ", column " + std::to_string(column + 1),
                     "expected " + expected + ": " + here + "^" + std::string(line.substr(column, 40)), "");
  }

  Lines lines_;
  std::string file_;
  std::string_view left_;
  PanelRequest request_;
  std::set<std::string, std::less<>> seen_;
};

}  // namespace

PanelRequest read_panel_profile(Source& source) { return ProfileReader(source).whole(); }

}  // namespace paneproof
