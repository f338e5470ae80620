#include "capture/log/pointer_event.hpp"

#include <nlohmann/json.hpp>

namespace paneproof {
namespace {

using Json = nlohmann::json;

// Where in the line the parser is: which keys mean something there.
enum class Place { before, event, screen, coalesced_list, coalesced_point, after };

class EventSax : public nlohmann::json_sax<Json> {
 public:
  EventSax(std::string_view line, PointerEvent& event) : line_(line), event_(event) {}

  bool null() override { return scalar(); }
  bool boolean(bool value) override {
    const bool ours = skipped_depth_ == 0 && place_ == Place::event && key_ == "all_reports";
    return ours ? set(event_.all_reports, value) : scalar();
  }
  bool number_integer(number_integer_t value) override { return number(static_cast<double>(value)); }
  bool number_unsigned(number_unsigned_t value) override { return number(static_cast<double>(value)); }
  bool number_float(number_float_t value, const string_t&) override { return number(value); }
  bool string(string_t& value) override {
    if (skipped_depth_ == 0 && place_ == Place::event) {
      if (key_ == "type") return set(event_.type, value);
      if (key_ == "pointerType") return set(event_.pointer_type, value);
      if (key_ == "tool") return set(event_.tool, value);
      if (key_ == "kind") return set(event_.kind, value);
    }
    return scalar();
  }
  bool binary(binary_t&) override { return scalar(); }

  bool key(string_t& name) override {
    if (skipped_depth_ == 0) key_ = name;
    return true;
  }

  bool start_object(std::size_t) override {
    if (skipped_depth_ > 0) return skip();
    switch (place_) {
      case Place::before:
        place_ = Place::event;
        return true;
      case Place::event:
        if (key_ != "screen") return structure();
        if (event_.has_screen) return fail("one key \"screen\"");
        event_.has_screen = true;
        place_ = Place::screen;
        return true;
      case Place::coalesced_list:
        event_.coalesced.emplace_back();
        place_ = Place::coalesced_point;
        return true;
      default:
        return structure();
    }
  }

  bool end_object() override {
    if (skipped_depth_ > 0) return unskip();
    place_ = place_ == Place::event             ? Place::after
             : place_ == Place::coalesced_point ? Place::coalesced_list
                                                : Place::event;
    key_.clear();
    return true;
  }

  bool start_array(std::size_t) override {
    if (skipped_depth_ > 0) return skip();
    if (place_ == Place::event && key_ == "coalesced") {
      if (event_.has_coalesced) return fail("one key \"coalesced\"");
      event_.has_coalesced = true;
      place_ = Place::coalesced_list;
      return true;
    }
    if (place_ == Place::before) return fail("one JSON object");
    return structure();
  }

  bool end_array() override {
    if (skipped_depth_ > 0) return unskip();
    place_ = Place::event;
    key_.clear();
    return true;
  }

  bool parse_error(std::size_t position, const std::string&, const nlohmann::detail::exception&) override {
    if (!fault_) fault_ = LineFault{position > 0 ? position - 1 : 0, "JSON"};
    return false;
  }

  std::optional<LineFault> fault_;

 private:
  bool skip() { return ++skipped_depth_ > 0; }
  bool unskip() { return --skipped_depth_ >= 0; }

  // A list or object under one of our number or string keys is a fault; under any other it is skipped.
  bool structure() {
    if (place_ == Place::coalesced_list) return fail("a point in the list");
    if (is_ours()) return fail(wanted());
    return skip();
  }

  bool scalar() {
    if (skipped_depth_ > 0) return true;
    if (place_ == Place::before) return fail("one JSON object");
    if (place_ == Place::coalesced_list) return fail("a point in the list");
    return is_ours() ? fail(wanted()) : true;
  }

  std::optional<double>* number_under_key() {
    PointerEvent& e = event_;
    if (place_ == Place::screen)
      return key_ == "width"                ? &e.width
             : key_ == "height"             ? &e.height
             : key_ == "left"               ? &e.left
             : key_ == "top"                ? &e.top
             : key_ == "px_per_mm"          ? &e.px_per_mm
             : key_ == "unreachable_left"   ? &e.unreachable_left
             : key_ == "unreachable_top"    ? &e.unreachable_top
             : key_ == "unreachable_right"  ? &e.unreachable_right
             : key_ == "unreachable_bottom" ? &e.unreachable_bottom
                                            : nullptr;
    if (place_ != Place::event && place_ != Place::coalesced_point) return nullptr;
    PointerPoint& point = place_ == Place::event ? e.point : e.coalesced.back();
    if (key_ == "timeStamp") return &point.time_ms;
    if (key_ == "clientX") return &point.client_x;
    if (key_ == "clientY") return &point.client_y;
    if (place_ == Place::coalesced_point) return nullptr;
    return key_ == "pointerId"  ? &e.pointer_id
           : key_ == "buttons"  ? &e.buttons
           : key_ == "pressure" ? &e.pressure
                                : nullptr;
  }

  bool is_string_key() const {
    return place_ == Place::event && (key_ == "type" || key_ == "pointerType" || key_ == "tool");
  }
  bool is_ours() {
    return number_under_key() != nullptr || is_string_key() ||
           (place_ == Place::event && (key_ == "screen" || key_ == "coalesced" || key_ == "all_reports"));
  }
  std::string wanted() {
    const char* kind = number_under_key()    ? "a number"
                       : is_string_key()     ? "a string"
                       : key_ == "screen"    ? "an object"
                       : key_ == "coalesced" ? "a list"
                                             : "true or false";
    return std::string(kind) + " as \"" + key_ + "\"";
  }

  bool number(double value) {
    if (skipped_depth_ == 0)
      if (auto* slot = number_under_key()) return set(*slot, value);
    return scalar();
  }

  template <typename Slot, typename Value>
  bool set(Slot& slot, const Value& value) {
    if (slot) return fail("one key \"" + key_ + "\"");
    slot = value;
    return true;
  }

  // JSON's events carry no offset, so the caret goes to the key's last appearance.
  bool fail(const std::string& expected) {
    const std::size_t at = line_.rfind('"' + key_ + '"');
    fault_ = LineFault{key_.empty() || at == std::string_view::npos ? 0 : at, expected};
    return false;
  }

  std::string_view line_;
  PointerEvent& event_;
  Place place_ = Place::before;
  std::string key_;
  int skipped_depth_ = 0;
};

}  // namespace

std::optional<LineFault> read_pointer_event(std::string_view line, PointerEvent& event) {
  event = {};
  EventSax sax(line, event);
  Json::sax_parse(line.begin(), line.end(), &sax);
  return sax.fault_;
}

}  // namespace paneproof
