#include "analyzer/cli/options.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "analyzer/verdict/limits.hpp"
#include "capture/bytes/source.hpp"
#include "capture/log/panel_profile.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr double mm_per_inch = 25.4;
constexpr const char* panel_group = "Panel";

[[noreturn]] void refuse(const std::string& option, const std::string& text, const std::string& expected) {
  throw InputError("", option + " " + text, "expected " + expected, "see --help", Exit::usage);
}

// The number at the start of `text`, which is moved past it. Positive and finite, or nothing.
std::optional<double> take_number(std::string_view& text) {
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || !std::isfinite(value) || value <= 0) return std::nullopt;
  text.remove_prefix(static_cast<std::size_t>(end - text.data()));
  return value;
}

double diagonal_mm(const std::string& typed) {
  std::string_view text = typed;
  const auto value = take_number(text);
  if (value && (text == "in" || text == "\"")) return *value * mm_per_inch;
  if (value && text == "mm") return *value;
  refuse("--diagonal", typed, "a length with its unit, such as 6.1in or 155mm");
}

}  // namespace

std::pair<double, double> two_numbers(const std::string& option, const std::string& typed,
                                      const char* expected) {
  std::string_view text = typed;
  const auto skip_blanks = [&] {
    text.remove_prefix(std::min(text.find_first_not_of(' '), text.size()));
  };  // "68.0 x 142.0", as it is printed
  const auto first = take_number(text);
  skip_blanks();
  if (first && !text.empty() && (text[0] == 'x' || text[0] == 'X' || text[0] == ':')) {
    text.remove_prefix(1);
    skip_blanks();
    const auto second = take_number(text);
    if (second && text.empty()) return {*first, *second};
  }
  refuse(option, typed, expected);
}

void add_panel_options(CLI::App& app, PanelOptions& options) {
  app.add_option("--panel", options.panel, "size of the touch area in mm: 68x142")
      ->type_name("WIDTHxHEIGHT")
      ->group(panel_group);
  app.add_option("--diagonal", options.diagonal,
                 "diagonal of the touch area, 6.1in or 155mm, instead of --panel")
      ->type_name("LENGTH")
      ->group(panel_group);
  app.add_option("--aspect", options.aspect,
                 "shape of the touch area, for --diagonal where axis units are not square")
      ->type_name("WIDTH:HEIGHT")
      ->group(panel_group);
  app.add_option("--range", options.range, "largest axis values, for a log that does not tell: 1080x2340")
      ->type_name("XxY")
      ->group(panel_group);
  app.add_option("--rotate", options.rotate,
                 "turn the log's axes clockwise by 90, 180 or 270 degrees before the size applies")
      ->check(CLI::IsMember({0, 90, 180, 270}))
      ->group(panel_group);
  app.add_option("--profile", options.profile, "panel profile file: size, range, rotation, rim and mask")
      ->type_name("FILE")
      ->group(panel_group);
}

void add_log_options(CLI::App& app, std::string& axes, std::string& device) {
  app.add_option("--axes", axes, "file that tells the axes: an evemu description or a getevent -p list")
      ->type_name("FILE")
      ->group(panel_group);
  app.add_option("--device", device, "name or node of the device, where the log has several")
      ->type_name("NAME")
      ->group(panel_group);
}

void add_recording_options(CLI::App& app, std::string& follow, std::string& corners) {
  app.add_option("--follow", follow, "where the dragged thing is, in px and s")
      ->type_name("X,Y@T")
      ->group("Recordings of the screen");
  app.add_option("--corners", corners,
                 "a filmed device: its panel's corners in the first picture, X,Y four times in px, from the "
                 "top left clockwise")
      ->type_name("X,Y,...")
      ->group("Recordings of the screen");
}

void add_condition_option(CLI::App& app, std::vector<std::string>& typed) {
  app.add_option("--condition", typed,
                 "what the sweep was made under, where not clean, dry glass and on battery (repeatable); "
                 "open: before closing")
      ->check(CLI::IsMember({"film", "protector", "glove", "wet", "cold", "charging", "open"}))
      ->take_all()
      ->expected(1)
      ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
}

std::vector<Condition> conditions_of(const std::vector<std::string>& typed) {
  std::vector<Condition> conditions;
  for (int c = 0; c <= static_cast<int>(Condition::open); ++c)
    if (std::find(typed.begin(), typed.end(), word(static_cast<Condition>(c))) != typed.end())
      conditions.push_back(static_cast<Condition>(c));
  return conditions;
}

std::string limits_text(const std::string& file) {
  if (file.empty()) return std::string(default_limits_text());
  std::string text;
  const auto source = open_source(
      file, {.largest_bytes = 1 << 20, .remedy = "give a limits file; docs/limits.txt is one to copy"});
  for (auto block = source->read(); !block.empty(); block = source->read()) text += block;
  return text;
}

PanelRequest panel_request(const PanelOptions& options) {
  PanelRequest request;
  if (!options.profile.empty())
    request = read_panel_profile(*open_source(
        options.profile,
        {.largest_bytes = 1 << 20, .remedy = "give a panel profile, as docs/formats.md has it"}));
  if (!options.panel.empty()) {
    std::tie(request.width_mm, request.height_mm) =
        two_numbers("--panel", options.panel, "WIDTHxHEIGHT in mm, such as 68x142");
    request.size_origin = "--panel";
    if (!options.diagonal.empty())
      refuse("--diagonal", options.diagonal, "either --panel or --diagonal, not both");
  }
  if (!options.diagonal.empty()) {
    request.diagonal_mm = diagonal_mm(options.diagonal);
    request.width_mm.reset();
    request.height_mm.reset();
    request.size_origin = "--diagonal";
  }
  if (!options.aspect.empty()) {
    const auto [width, height] = two_numbers("--aspect", options.aspect, "WIDTH:HEIGHT, such as 9:19.5");
    request.aspect = width / height;
  }
  if (!options.range.empty())
    std::tie(request.range_x, request.range_y) =
        two_numbers("--range", options.range, "the largest X and Y, such as 1080x2340");
  if (options.rotate != 0) request.rotate_deg = options.rotate;
  return request;
}

}  // namespace paneproof
