#include "capture/log/ink_formats.hpp"

#include <charconv>
#include <cmath>

namespace paneproof {
namespace {

constexpr std::size_t kMostNames = 1000, kMostChannels = 64;

}  // namespace

std::string_view ink_local_name(std::string_view name) {
  const std::size_t colon = name.rfind(':');
  return colon == std::string_view::npos ? name : name.substr(colon + 1);
}

std::string InkAttributes::get(std::string_view name) const {
  for (const char** p = pairs_; *p != nullptr; p += 2)
    if (ink_local_name(p[0]) == name) return p[1];
  return "";
}

std::optional<double> InkAttributes::number(std::string_view name) const {
  const std::string text = get(name);
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

std::string InkAttributes::target(std::string_view name) const {
  const std::string reference = get(name);
  return !reference.empty() && reference[0] == '#' ? reference.substr(1) : reference;
}

std::string InkFormats::add_channel(const InkAttributes& attributes, bool intermittent) {
  if (building_.channels.size() >= kMostChannels) return "at most 64 channels";
  InkChannel made;
  made.name = attributes.get("name");
  made.units = attributes.get("units");
  made.min = attributes.number("min");
  made.max = attributes.number("max");
  made.turned = attributes.get("orientation") == "-ve";
  made.respect_to = attributes.get("respectTo");
  if (building_.find(made.name)) return "one channel " + made.name;
  building_.channels.push_back(std::move(made));
  if (!intermittent) building_.regular = building_.channels.size();
  return "";
}

std::string InkFormats::end_format(const std::vector<std::string>& names) {
  if (formats_.size() >= kMostNames) return "at most 1000 trace formats";
  formats_.push_back(std::move(building_));
  building_ = {};
  for (const std::string& name : names) named_[name] = formats_.size() - 1;
  return "";
}

std::string InkFormats::add_context(const std::string& id, const InkAttributes& attributes) {
  if (id.empty()) return "";
  for (const char* key : {"contextRef", "inkSourceRef", "traceFormatRef"}) {
    const auto found = named_.find(attributes.target(key));
    if (found == named_.end()) continue;
    if (named_.size() >= kMostNames) return "at most 1000 contexts";
    const std::size_t format = found->second;
    named_[id] = format;
  }
  return "";
}

// Units like 1/mm: so many steps of the channel in one mm.
void InkFormats::add_property(const InkAttributes& attributes) {
  if (attributes.get("name") != "resolution" || resolutions_.size() >= kMostChannels) return;
  const std::string units = attributes.get("units");
  const std::size_t slash = units.find('/');
  const auto mm = mm_per(units.substr(slash == std::string::npos ? 0 : slash + 1));
  const auto value = attributes.number("value");
  if (value && *value > 0 && mm) resolutions_.push_back({attributes.get("channel"), *value / *mm});
}

void InkFormats::end_source() {
  if (formats_.empty()) return;
  for (InkChannel& channel : formats_.back().channels)
    for (const auto& [name, units_per_mm] : resolutions_)
      if (channel.name == name) channel.units_per_mm = units_per_mm;
  resolutions_.clear();
}

const InkFormat* InkFormats::of(const std::string& context) const {
  const auto found = named_.find(context);
  if (found != named_.end()) return &formats_[found->second];
  return formats_.empty() ? nullptr : &formats_.back();
}

}  // namespace paneproof
