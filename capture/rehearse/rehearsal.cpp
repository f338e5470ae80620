#include "capture/rehearse/rehearsal.hpp"

#include <algorithm>
#include <map>

#include "capture/rehearse/host.hpp"
#include "capture/rehearse/jitter_truth.hpp"
#include "capture/rehearse/panel_scan.hpp"

namespace paneproof {
namespace {

// Streams of random numbers, one a purpose.
enum Stream : std::uint64_t {
  firmware_stream,
  host_stream,
  plan_stream,
  pace_stream,
  fault_stream,
  noise_stream,
  delivery_stream,
  blob_stream,
  phase_stream,
  tremble_stream = 50
};

class Rehearsal {
 public:
  explicit Rehearsal(const RehearsalSpec& spec) {
    out_.spec = spec;
    Random firmware(spec.seed, firmware_stream), host(spec.seed, host_stream);
    const auto drawn = static_cast<FirmwareFamily>(firmware.below(firmware_families));
    out_.firmware = draw_personality(spec.family.value_or(drawn), firmware);
    if (spec.firmware) out_.firmware = *spec.firmware;
    out_.host = spec.host.value_or(draw_host(host));
    grid_ = make_grid(spec.width_mm, spec.height_mm, out_.firmware.pitch_mm, out_.firmware.inset,
                      out_.firmware.rx_are_columns);
  }

  Rehearsed run() {
    move_hand();
    Faults faults(out_.spec.faults, grid_, duration_s_, Random(out_.spec.seed, fault_stream));
    scan_all(faults);
    record(faults);
    follow_quietly();
    const std::int64_t start = first_stamp_;
    keep_truth(faults, start);
    return std::move(out_);
  }

 private:
  void move_hand() {
    const RehearsalSpec& spec = out_.spec;
    const HandPlan plan = plan_hand(spec.hand, spec.width_mm, spec.height_mm, Random(spec.seed, plan_stream));
    for (std::size_t k = 0; k < plan.fingers.size(); ++k)
      fingers_.push_back(move_finger(plan.fingers[k], spec.hand.motion, Random(spec.seed, pace_stream),
                                     Random(spec.seed, tremble_stream + k)));
    for (const auto& finger : fingers_)
      duration_s_ = std::max(duration_s_, static_cast<double>(finger.size()) * finger_step_us * 1e-6);
    place_blobs();
  }

  void place_blobs() {
    const RehearsalSpec& spec = out_.spec;
    Random r(spec.seed, blob_stream);
    for (int k = 0; k < spec.palms; ++k) {
      const double from = r.uniform(0.5, std::max(0.6, duration_s_ - 0.5)), spread = r.uniform(7.5, 12);
      blobs_.push_back({from,
                        from + r.uniform(0.08, 0.5),
                        {{r.uniform(0, spec.width_mm), spec.height_mm - r.uniform(0, 12)},
                         spread,
                         spread * r.uniform(0.7, 1.3),
                         r.uniform(0.7, 1.0),
                         Touching::palm}});
    }
    for (int k = 0; k < spec.water_blobs; ++k) {
      const double from = r.uniform(0, duration_s_), spread = r.uniform(1.6, 3);
      blobs_.push_back({from,
                        from + r.uniform(0.5, 5),
                        {{r.uniform(0.05, 0.95) * spec.width_mm, r.uniform(0.05, 0.95) * spec.height_mm},
                         spread,
                         spread,
                         r.uniform(0.25, 0.7),
                         Touching::water}});
    }
  }

  void scan_all(Faults& faults) {
    const RehearsalSpec& spec = out_.spec;
    const Personality& p = out_.firmware;
    Random phase(spec.seed, phase_stream);
    PanelScan panel(grid_, p, faults, {fingers_, blobs_, spec.contact_mm}, Random(spec.seed, noise_stream));
    double t_us = phase.uniform(0, 1e6 / spec.rate_hz), touched_us = t_us;
    const double end_us = duration_s_ * 1e6 + 100e3;
    while (t_us < end_us) {
      scanned_us_.push_back(t_us);
      scans_.push_back({static_cast<std::int64_t>(t_us), panel.at(t_us)});
      if (!panel.idle()) touched_us = t_us;
      const bool idle = p.idle_hz > 0 && t_us - touched_us > p.idle_after_s * 1e6;
      t_us += 1e6 / (idle ? std::min(p.idle_hz, spec.rate_hz) : spec.rate_hz);
    }
    out_.truth.losses = panel.finish();
  }

  // The same scans without any noise, for the true jitter.
  void follow_quietly() {
    std::vector<FaultSpec> specs = out_.spec.faults;
    for (FaultSpec& fault : specs)
      if (fault.kind == FaultKind::supply_noise) fault.strength = 0;
    Faults faults(std::move(specs), grid_, duration_s_, Random(out_.spec.seed, fault_stream));
    PanelScan panel(grid_, out_.firmware, faults, {fingers_, blobs_, out_.spec.contact_mm}, std::nullopt);
    for (const double t_us : scanned_us_)
      for (const ToldContact& contact : panel.at(t_us))
        if (followed(contact))
          quiet_.push_back(
              {static_cast<std::int64_t>(t_us), contact.id, contact.finger, on_panel(contact.at, faults)});
  }

  // Off the border, where positions are clipped or stretched.
  bool followed(const ToldContact& contact) const {
    return contact.finger >= 0 &&
           std::min({contact.true_at.x, contact.true_at.y, out_.spec.width_mm - contact.true_at.x,
                     out_.spec.height_mm - contact.true_at.y}) > jitter_inset_mm;
  }

  Vec on_panel(Vec at, const Faults& faults) const {
    at = faults.tell(at);
    const double cut = out_.firmware.border_cut_mm;
    return {std::clamp(at.x, cut, out_.spec.width_mm - cut),
            std::clamp(at.y, cut, out_.spec.height_mm - cut)};
  }

  Vec to_units(Vec at, const Faults& faults) const {
    at = on_panel(at, faults);
    return {std::floor(at.x / out_.spec.width_mm * range_x_ + 0.5),
            std::floor(at.y / out_.spec.height_mm * range_y_ + 0.5)};
  }

  void record(const Faults& faults) {
    const RehearsalSpec& spec = out_.spec;
    const Personality& p = out_.firmware;
    range_x_ = std::floor(spec.width_mm * p.units_per_mm + 0.5);
    range_y_ = std::floor(spec.height_mm * p.units_per_mm + 0.5);
    std::vector<std::int64_t> times;
    for (const Scan& scan : scans_) times.push_back(scan.t_us);
    const std::vector<Delivery> deliveries =
        deliver(times, 1e6 / spec.rate_hz, out_.host, Random(spec.seed, delivery_stream));

    RecordingBuilder builder;
    std::map<int, std::uint32_t> down;
    std::vector<std::int64_t> ends;
    bool started = false;
    std::int64_t frames = 0;
    for (const Delivery& delivery : deliveries) {
      const Told& told = scans_[delivery.scan].told;
      if (!started && told.empty()) continue;
      if (!started) first_stamp_ = delivery.stamp_us, started = true;
      const std::int64_t t_us = delivery.stamp_us - first_stamp_;
      bool changed = false;
      for (auto it = down.begin(); it != down.end();) {
        const bool still =
            std::any_of(told.begin(), told.end(), [&](const ToldContact& c) { return c.id == it->first; });
        if (still) {
          ++it;
          continue;
        }
        const bool palm = std::find(palms_.begin(), palms_.end(), it->second) != palms_.end();
        builder.end(it->second, palm ? Ending::cancelled : Ending::lifted);
        ends[it->second] = t_us;
        last_us_ = t_us;
        it = down.erase(it);
        changed = true;
      }
      for (const ToldContact& contact : told)
        changed |= report(builder, down, ends, contact, scans_[delivery.scan].t_us, t_us, faults);
      frames += changed;
      if (changed) last_us_ = t_us;
    }
    for (const auto& [id, contact] : down) ends[contact] = last_us_;
    finish_recording(std::move(builder), std::move(ends), frames);
  }

  bool report(RecordingBuilder& builder, std::map<int, std::uint32_t>& down, std::vector<std::int64_t>& ends,
              const ToldContact& contact, std::int64_t scan_us, std::int64_t t_us, const Faults& faults) {
    const Vec units = to_units(contact.at, faults);
    auto [found, landed] = down.try_emplace(contact.id, 0);
    if (landed) {
      const bool palm = out_.firmware.palm_named && contact.origin == static_cast<int>(Cause::palm);
      found->second = builder.land(palm ? Tool::palm : Tool::finger);
      if (palm) palms_.push_back(found->second);
      ends.push_back(t_us);
    }
    const Vec mm{units.x / range_x_ * out_.spec.width_mm, units.y / range_y_ * out_.spec.height_mm};
    if (landed && contact.origin != static_cast<int>(Cause::finger))
      out_.truth.ghosts.push_back({t_us, mm, static_cast<Cause>(contact.origin), found->second});
    if (followed(contact)) told_.push_back({scan_us, static_cast<int>(found->second), contact.finger, mm});
    const std::size_t before = builder.report_count();
    builder.report(found->second, t_us, units.x, units.y);
    return landed || builder.report_count() > before;
  }

  void finish_recording(RecordingBuilder builder, std::vector<std::int64_t> ends, std::int64_t frames) {
    const Personality& p = out_.firmware;
    Axes axes;
    axes.x = Axis{0, range_x_, {}};
    axes.y = Axis{0, range_y_, {}};
    if (p.tells_resolution) {
      // A kernel resolution is a whole number; only one that is near enough is told.
      const double whole = std::floor(p.units_per_mm + 0.5);
      const double off = whole / p.units_per_mm - 1;
      if (off < 0.01 && off > -0.01) axes.x->units_per_mm = axes.y->units_per_mm = whole;
    }
    axes.square_units = true;
    axes.origin = "log";
    SourceFacts source;
    source.format = "rehearsal";
    source.device = "rehearsal panel";
    source.events = frames;
    source.duration_us = last_us_;
    out_.recording = std::move(builder).finish(std::move(axes), std::move(source));
    out_.lift_us = std::move(ends);
  }

  void keep_truth(const Faults& faults, std::int64_t start_us) {
    Truth& truth = out_.truth;
    const RehearsalSpec& spec = out_.spec;
    truth.faulty = !spec.faults.empty();
    truth.faults = spec.faults;
    truth.dead_places = faults.places();
    truth.met = met_mask(fingers_, spec.width_mm, spec.height_mm);
    truth.widest_unmet_mm = widest_gap(truth.met);
    map_dead(grid_, out_.firmware, faults, truth.blind, truth.unreachable);
    for (const DeadPlace& place : truth.dead_places) {
      truth.dead_met.push_back(share_met(place, truth.met));
      truth.dead_crossings.push_back(crossings(place));
    }
    std::stable_sort(told_.begin(), told_.end(),
                     [](const ReportedFinger& a, const ReportedFinger& b) { return a.contact < b.contact; });
    const JitterTruth jitter = true_jitter(told_, fingers_, spec.rate_hz);
    const NoiseTruth noise = true_noise(told_, std::move(quiet_), fingers_, spec.rate_hz);
    truth.noise_rms_mm = noise.rms_mm;
    truth.noise_seen_mm = noise.seen_rms_mm;
    truth.jitter_rms_mm = jitter.rms_mm;
    truth.jitter_reports = jitter.reports;
    truth.error_rms_mm = jitter.error_rms_mm;
    truth.rate_hz = spec.rate_hz;
    truth.palms = spec.palms;
    truth.water_blobs = spec.water_blobs;
    for (Loss& loss : truth.losses) loss.from_us -= start_us, loss.to_us -= start_us;
    for (auto& finger : fingers_)
      for (FingerSample& s : finger) s.t_us -= start_us;
    truth.finger_start_us.assign(fingers_.size(), -start_us);
    truth.fingers = std::move(fingers_);
  }

  int crossings(const DeadPlace& place) const {
    int count = 0;
    for (const auto& finger : fingers_) {
      bool in = false;
      for (const FingerSample& s : finger) {
        const bool now = s.down && inside(place, s.at);
        count += now && !in;
        in = now;
      }
    }
    return count;
  }

  Rehearsed out_;
  NodeGrid grid_;
  double duration_s_ = 0, range_x_ = 1, range_y_ = 1;
  std::int64_t first_stamp_ = 0, last_us_ = 0;
  std::vector<std::vector<FingerSample>> fingers_;
  std::vector<Blob> blobs_;
  std::vector<double> scanned_us_;
  std::vector<Scan> scans_;
  std::vector<ReportedFinger> told_, quiet_;
  std::vector<std::uint32_t> palms_;  // contacts told to be palms
};

}  // namespace

Rehearsed rehearse(const RehearsalSpec& spec) { return Rehearsal(spec).run(); }

}  // namespace paneproof
