// A rehearsal is decided by its seed, and what it says of the panel and the finger is so.
#include "capture/rehearse/rehearsal.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

using namespace paneproof;

namespace {

double distance(Vec a, Vec b) { return std::hypot(a.x - b.x, a.y - b.y); }

Vec in_mm(const Rehearsed& r, const Report& report) {
  return {report.x / r.recording.axes.x->max * r.spec.width_mm,
          report.y / r.recording.axes.y->max * r.spec.height_mm};
}

FingerSample finger_then(const Rehearsed& r, std::size_t finger, std::int64_t t_us) {
  return finger_at(r.truth.fingers[finger], t_us - r.truth.finger_start_us[finger]);
}

// Distance to the nearest finger on the glass within `around_us` of a time; infinite without any.
double finger_distance(const Rehearsed& r, std::int64_t t_us, Vec at, std::int64_t around_us) {
  double nearest = 1e300;
  for (std::size_t k = 0; k < r.truth.fingers.size(); ++k)
    for (std::int64_t t = t_us - around_us; t <= t_us + around_us; t += 4000) {
      const FingerSample s = finger_then(r, k, t);
      if (s.down) nearest = std::min(nearest, distance(s.at, at));
    }
  return nearest;
}

// Firmware that tells each scan's position as it is.
Personality bare_firmware(std::uint64_t seed) {
  Random random(seed);
  Personality p = draw_personality(FirmwareFamily::plain, random);
  p.alpha = 1;
  p.hold = 0;
  p.landing_hold_s = 0;
  p.border_cut_mm = 0;
  p.cut_drops = false;
  p.node_noise = 0.002;
  return p;
}

}  // namespace

TEST_CASE("the same seed gives the same bytes, another seed others") {
  for (std::uint64_t seed = 40; seed < 46; ++seed) {
    INFO("seed " << seed);
    const Rehearsed a = rehearse(random_spec(seed, Mix::mixed)), b = rehearse(random_spec(seed, Mix::mixed));
    CHECK(truth_json(a) == truth_json(b));
    CHECK(write_rehearsal(a, "getevent") == write_rehearsal(b, "getevent"));
    CHECK(write_rehearsal(a, "getevent") !=
          write_rehearsal(rehearse(random_spec(seed + 1000, Mix::mixed)), "getevent"));
  }
}

TEST_CASE("neighbouring seeds do not share their choices") {
  std::vector<double> widths;
  for (std::uint64_t seed = 1; seed <= 300; ++seed)
    widths.push_back(random_spec(seed, Mix::mixed).hand.motion.speed_mm_s);
  std::sort(widths.begin(), widths.end());
  CHECK(std::adjacent_find(widths.begin(), widths.end(),
                           [](double a, double b) { return b < 300 && b - a < 1e-9; }) == widths.end());
}

TEST_CASE("a loss lies within a time in which the finger was on the glass") {
  int losses = 0;
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    const Rehearsed r = rehearse(random_spec(seed, Mix::one_fault));
    for (const Loss& loss : r.truth.losses) {
      INFO("seed " << seed << ", loss at " << loss.from_us << " us");
      ++losses;
      CHECK(loss.from_us <= loss.to_us);
      bool down = true;
      for (std::int64_t t = loss.from_us; t < loss.to_us; t += 1000)
        down = down && finger_then(r, static_cast<std::size_t>(loss.finger), t).down;
      CHECK(down);
    }
  }
  CHECK(losses > 50);
}

TEST_CASE("a finger that goes on under another contact's number was lost in between") {
  int taken_over = 0;
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    RehearsalSpec spec = random_spec(seed, FaultKind::dead_line);
    spec.firmware = bare_firmware(seed);
    spec.firmware->gate_mm = 5;  // a leap over a dead line is another contact's
    spec.palms = spec.water_blobs = 0;
    if (spec.hand.style == SweepStyle::two_fingers) spec.hand.style = SweepStyle::rows;
    const Rehearsed r = rehearse(spec);
    const auto& reports = r.recording.reports;
    const auto& contacts = r.recording.contacts;
    for (std::size_t c = 0; c + 1 < contacts.size(); ++c) {
      const std::int64_t end = reports[contacts[c].first + contacts[c].count - 1].t_us;
      const std::int64_t landing = reports[contacts[c + 1].first].t_us;
      if (landing <= end) continue;
      bool on_glass = true;
      for (std::int64_t t = end; t <= landing; t += 1000) {
        const FingerSample finger = finger_then(r, 0, t);
        on_glass = on_glass && finger.down && finger.touch >= 0.8 && finger.at.x > 3 && finger.at.y > 3 &&
                   finger.at.x < spec.width_mm - 3 && finger.at.y < spec.height_mm - 3;
      }
      if (!on_glass) continue;
      INFO("seed " << seed << ", " << end << " to " << landing << " us");
      ++taken_over;
      CHECK(std::any_of(r.truth.losses.begin(), r.truth.losses.end(),
                        [&](const Loss& loss) { return loss.from_us <= landing && loss.to_us >= end; }));
    }
  }
  CHECK(taken_over > 50);
}

TEST_CASE("a sound panel loses no finger by a fault and has no blind place") {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    const Rehearsed r = rehearse(random_spec(seed, Mix::good_complete));
    INFO("seed " << seed);
    CHECK(std::none_of(r.truth.losses.begin(), r.truth.losses.end(),
                       [](const Loss& l) { return l.cause == Cause::fault; }));
    CHECK(r.truth.blind.share() == 0);
    CHECK_FALSE(r.truth.faulty);
  }
}

TEST_CASE("no report falls inside a place that the panel cannot report") {
  for (const FaultKind kind :
       {FaultKind::dead_line, FaultKind::dead_area, FaultKind::edge_band, FaultKind::partial_line})
    for (std::uint64_t seed = 1; seed <= 6; ++seed) {
      INFO(fault_names[static_cast<int>(kind)] << ", seed " << seed);
      RehearsalSpec spec = random_spec(seed, kind);
      spec.firmware = bare_firmware(seed);
      spec.palms = spec.water_blobs = 0;
      if (spec.hand.style == SweepStyle::two_fingers) spec.hand.style = SweepStyle::rows;
      spec.faults[0].strength = 0;
      const Rehearsed r = rehearse(spec);
      const Mask& dead = r.truth.unreachable;
      // Noise and a contact wider than nominal move reports by up to 1.5 mm.
      const auto deep = [&](Vec at) {
        for (int dy = -2; dy <= 2; ++dy)
          for (int dx = -2; dx <= 2; ++dx) {
            const int i = static_cast<int>(at.x) + dx, j = static_cast<int>(at.y) + dy;
            if (i < 0 || j < 0 || i >= dead.columns || j >= dead.rows) continue;
            if (!dead.at(i, j)) return false;
          }
        return true;
      };
      CHECK(std::none_of(r.recording.reports.begin(), r.recording.reports.end(),
                         [&](const Report& report) { return deep(in_mm(r, report)); }));
      CHECK(dead.share() > 0);
    }
}

TEST_CASE("a dead disc of 12 mm blinds about its own middle") {
  RehearsalSpec spec;
  spec.firmware = bare_firmware(3);
  FaultSpec fault;
  fault.kind = FaultKind::dead_area;
  fault.centre = {30, 70};
  fault.size_mm = 14;
  spec.faults = {fault};
  const Rehearsed r = rehearse(spec);
  CHECK(r.truth.blind.at(30, 70) == 1);
  CHECK(r.truth.unreachable.at(30, 70) == 1);
  CHECK(r.truth.blind.at(10, 20) == 0);
  CHECK(r.truth.dead_met.at(0) > 0.95);
  CHECK(r.truth.dead_crossings.at(0) > 0);
}

TEST_CASE("ghosts are the contacts that land far from every finger") {
  int ghosts = 0;
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    const Rehearsed r = rehearse(random_spec(seed, FaultKind::ghosts));
    std::vector<char> listed(r.recording.contacts.size(), 0);
    for (const GhostTouch& ghost : r.truth.ghosts) listed.at(ghost.contact) = 1;
    for (std::size_t k = 0; k < r.recording.contacts.size(); ++k) {
      const Report& landing = r.recording.reports[r.recording.contacts[k].first];
      const double away = finger_distance(r, landing.t_us, in_mm(r, landing), 160000);
      INFO("seed " << seed << ", contact " << k << " lands " << away << " mm from a finger");
      if (listed[k]) {
        // A finger nearer than this would give half the threshold itself.
        const double now = finger_distance(r, landing.t_us, in_mm(r, landing), 0);
        CHECK(now > 2.5);
        ++ghosts;
      } else {
        CHECK(away < 14);
      }
    }
  }
  CHECK(ghosts > 100);
}

TEST_CASE("a complete hand comes near every place") {
  int complete = 0;
  for (std::uint64_t seed = 1; seed <= 60; ++seed)
    complete += rehearse(random_spec(seed, Mix::good_complete)).truth.widest_unmet_mm <= 2;
  CHECK(complete >= 56);
}

TEST_CASE("a careless hand leaves a place that it did not come near") {
  int careless = 0;
  for (std::uint64_t seed = 1; seed <= 60; ++seed)
    careless += rehearse(random_spec(seed, Mix::good_incomplete)).truth.widest_unmet_mm >= 4;
  CHECK(careless >= 54);
}

TEST_CASE("reports of a sound panel follow the finger") {
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    RehearsalSpec spec = random_spec(seed, Mix::good_complete);
    spec.palms = spec.water_blobs = 0;
    const Rehearsed r = rehearse(spec);
    std::size_t near = 0;
    for (const Report& report : r.recording.reports)
      near += finger_distance(r, report.t_us, in_mm(r, report), 80000) < 3;
    INFO("seed " << seed);
    // The rest: clipped beyond the border, stalls, prediction in a turn.
    CHECK(static_cast<double>(near) > 0.97 * static_cast<double>(r.recording.reports.size()));
  }
}

TEST_CASE("more node noise is more true jitter, in proportion") {
  RehearsalSpec spec;
  spec.family = FirmwareFamily::plain;
  spec.hand.motion.speed_mm_s = 60;
  Personality p = bare_firmware(5);
  p.units_per_mm = 100;
  p.cyclic_mm = 0.03;
  p.node_noise = 0.01;
  spec.firmware = p;
  const double once = rehearse(spec).truth.jitter_rms_mm;
  p.node_noise = 0.02;
  spec.firmware = p;
  const double twice = rehearse(spec).truth.jitter_rms_mm;
  CHECK(twice / once == Approx(2).margin(0.25));
}
