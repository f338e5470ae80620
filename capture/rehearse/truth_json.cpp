// The truth as JSON text, written by hand: it is plain, and rounding is ours.
#include <cstdio>

#include "capture/rehearse/rehearsal.hpp"

namespace paneproof {
namespace {

class Json {
 public:
  Json& open(const char* key, char bracket) { return name(key), text_ += bracket, fresh_ = true, *this; }
  Json& close(char bracket) { return text_ += bracket, fresh_ = false, *this; }
  Json& number(const char* key, double value, int decimals = 3) {
    char digits[48];
    std::snprintf(digits, sizeof digits, "%.*f", decimals, value);
    bool zero = digits[0] == '-';
    for (const char* c = digits + 1; *c; ++c) zero = zero && (*c == '0' || *c == '.');
    return name(key), text_ += digits + (zero ? 1 : 0), *this;
  }
  Json& whole(const char* key, std::int64_t value) {
    return name(key), text_ += std::to_string(value), *this;
  }
  Json& seed(const char* key, std::uint64_t value) {
    return name(key), text_ += std::to_string(value), *this;
  }
  Json& flag(const char* key, bool value) { return name(key), text_ += value ? "true" : "false", *this; }
  Json& word(const char* key, std::string_view value) {
    name(key);
    text_ += '"';
    text_ += value;
    text_ += '"';
    return *this;
  }
  std::string take() { return std::move(text_) + "\n"; }

 private:
  void name(const char* key) {
    if (!fresh_) text_ += ',';
    fresh_ = false;
    if (key) text_ += '"', text_ += key, text_ += "\":";
  }
  std::string text_;
  bool fresh_ = true;
};

void put_mask(Json& json, const char* key, const Mask& mask) {
  json.open(key, '[');
  for (int j = 0; j < mask.rows; ++j) {
    std::string row(static_cast<std::size_t>(mask.columns), '0');
    for (int i = 0; i < mask.columns; ++i) row[static_cast<std::size_t>(i)] = mask.at(i, j) ? '1' : '0';
    json.word(nullptr, row);
  }
  json.close(']');
}

double seconds(std::int64_t us) { return static_cast<double>(us) * 1e-6; }

void put_spec(Json& json, const Rehearsed& r) {
  json.seed("seed", r.spec.seed).open("panel", '{');
  json.number("width_mm", r.spec.width_mm).number("height_mm", r.spec.height_mm);
  json.number("pitch_mm", r.firmware.pitch_mm).close('}');
  json.open("hand", '{').word("style", sweep_style_names[static_cast<int>(r.spec.hand.style)]);
  json.word("omission", omission_names[static_cast<int>(r.spec.hand.omission)]);
  json.number("row_distance_mm", r.spec.hand.row_distance_mm)
      .number("speed_mm_s", r.spec.hand.motion.speed_mm_s, 1);
  json.number("contact_mm", r.spec.contact_mm).number("tremor_mm", r.spec.hand.motion.tremor_mm).close('}');
  json.open("firmware", '{').word("family", firmware_names[static_cast<int>(r.firmware.family)]);
  json.number("border_cut_mm", r.firmware.border_cut_mm).number("landing_hold_s", r.firmware.landing_hold_s);
  json.whole("hold_scans", r.firmware.hold).number("rate_hz", r.spec.rate_hz).close('}');
}

void put_faults(Json& json, const Truth& truth) {
  json.flag("faulty", truth.faulty).open("faults", '[');
  for (const FaultSpec& f : truth.faults) json.word(nullptr, fault_names[static_cast<int>(f.kind)]);
  json.close(']').open("dead_places", '[');
  for (std::size_t k = 0; k < truth.dead_places.size(); ++k) {
    const DeadPlace& p = truth.dead_places[k];
    json.open(nullptr, '{').word("kind", fault_names[static_cast<int>(p.kind)]).flag("along_x", p.along_x);
    json.number("x_mm", p.x_mm)
        .number("y_mm", p.y_mm)
        .number("width_mm", p.width_mm)
        .number("height_mm", p.height_mm);
    json.word("shape", p.disc ? "disc" : "box").flag("always", p.always);
    json.number("met", truth.dead_met[k]).whole("crossings", truth.dead_crossings[k]).close('}');
  }
  json.close(']');
}

void put_losses(Json& json, const Truth& truth) {
  json.open("losses", '[');
  for (const Loss& l : truth.losses) {
    json.open(nullptr, '{').number("from_s", seconds(l.from_us), 6).number("to_s", seconds(l.to_us), 6);
    json.whole("finger", l.finger).number("x_mm", l.from.x).number("y_mm", l.from.y);
    json.number("to_x_mm", l.to.x).number("to_y_mm", l.to.y);
    json.word("cause", l.cause == Cause::fault ? fault_names[static_cast<int>(l.fault)]
                                               : cause_names[static_cast<int>(l.cause)]);
    json.flag("since_landing", l.since_landing)
        .flag("until_lift", l.until_lift)
        .whole("scans", l.scans)
        .close('}');
  }
  json.close(']').open("ghosts", '[');
  for (const GhostTouch& g : truth.ghosts)
    json.open(nullptr, '{')
        .number("t_s", seconds(g.t_us), 6)
        .number("x_mm", g.at.x)
        .number("y_mm", g.at.y)
        .word("cause", cause_names[static_cast<int>(g.cause)])
        .close('}');
  json.close(']');
}

// Every fifth sample (10 ms), as [t_s, x_mm, y_mm, down].
void put_fingers(Json& json, const Truth& truth) {
  json.open("fingers", '[');
  for (const auto& finger : truth.fingers) {
    json.open(nullptr, '[');
    for (std::size_t k = 0; k < finger.size(); k += 5)
      json.open(nullptr, '[')
          .number(nullptr, seconds(finger[k].t_us))
          .number(nullptr, finger[k].at.x)
          .number(nullptr, finger[k].at.y)
          .whole(nullptr, finger[k].down)
          .close(']');
    json.close(']');
  }
  json.close(']');
}

}  // namespace

std::string truth_json(const Rehearsed& r) {
  const Truth& truth = r.truth;
  Json json;
  json.open(nullptr, '{').word("note", "rehearsal: a simulated panel and hand");
  put_spec(json, r);
  put_faults(json, truth);
  json.number("met_share", truth.met.share(), 5).number("widest_unmet_mm", truth.widest_unmet_mm);
  json.number("jitter_rms_mm", truth.jitter_rms_mm, 5).whole("jitter_reports", truth.jitter_reports);
  json.number("error_rms_mm", truth.error_rms_mm, 5).number("noise_rms_mm", truth.noise_rms_mm, 5);
  json.number("rate_hz", truth.rate_hz);
  json.whole("palms", truth.palms).whole("water_blobs", truth.water_blobs);
  put_losses(json, truth);
  put_mask(json, "met", truth.met);
  put_mask(json, "blind", truth.blind);
  put_mask(json, "unreachable", truth.unreachable);
  put_fingers(json, truth);
  return json.close('}').take();
}

}  // namespace paneproof
