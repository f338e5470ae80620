#include "tests/truth/score.hpp"

#include <algorithm>
#include <cmath>

#include "tests/truth/score_parts.hpp"

namespace paneproof {
namespace {

void score_verdict(const RehearsedCase& c, const Limits& limits, Score& score) {
  const Truth& truth = c.rehearsed.truth;
  const ClearCut clear = clear_cut(c, limits);
  const Outcome told = c.verdict.outcome;
  const auto at = static_cast<std::size_t>(told);
  if (clear.outcome)
    ++score.verdicts[static_cast<std::size_t>(*clear.outcome)][at];
  else
    ++score.undecided[at];
  if (!truth.faulty) score.false_fail.count(told == Outcome::fail);
  if (!truth.faulty && clear.outcome == Outcome::pass) score.false_fail_complete.count(told == Outcome::fail);
  const bool blamed = !truth.faulty && told == Outcome::fail;
  const bool wrong = clear.outcome && told != *clear.outcome;
  if (!blamed && !wrong) return;
  std::string text = std::string(word(told)) +
                     (clear.outcome ? ", not " + std::string(word(*clear.outcome)) : "") + " (" + clear.why +
                     "):";
  for (const Reason& reason : c.verdict.reasons) text += " " + reason.id;
  score.failures.push_back({blamed ? "sound panel failed" : "wrong verdict", c.rehearsed.spec.seed, 1, text});
}

void score_missed(const RehearsedCase& c, Score& score) {
  const Truth& truth = c.rehearsed.truth;
  for (std::size_t k = 0; k < truth.dead_places.size(); ++k) {
    const DeadPlace& place = truth.dead_places[k];
    if (!place.always || narrow_mm(place) < wide_zone_mm || truth.dead_met[k] < 0.5) continue;
    const bool passed = c.verdict.outcome == Outcome::pass;
    const int losses = tellable_losses(truth, place.kind);
    const bool evident = losses > 0;
    score.told_by_losses[losses <= 2   ? static_cast<std::size_t>(losses)
                         : losses <= 5 ? 3
                                       : 4]
        .count(c.verdict.outcome == Outcome::fail);
    score.missed_dead.count(passed);
    if (evident) score.missed_evident.count(passed);
    if (passed)
      score.failures.push_back({"dead zone passed", c.rehearsed.spec.seed, evident ? 2.0 : 1.0,
                                std::string(fault_names[static_cast<int>(place.kind)]) +
                                    (evident ? ", with a tellable loss" : ", without a tellable loss")});
  }
}

void score_jitter(const RehearsedCase& c, Score& score) {
  const Truth& truth = c.rehearsed.truth;
  if (truth.jitter_reports < 100 || truth.jitter_rms_mm <= 0 || c.findings.jitter.reports == 0) return;
  const double error = std::abs(c.findings.jitter.rms_mm / truth.jitter_rms_mm - 1);
  score.jitter_errors.push_back(error);
  if (truth.noise_rms_mm > 0) {
    score.noise_errors.push_back(std::abs(c.findings.jitter.rms_mm / truth.noise_rms_mm - 1));
    score.oracle_noise_errors.push_back(std::abs(truth.noise_seen_mm / truth.noise_rms_mm - 1));
  }
  char text[120];
  std::snprintf(text, sizeof text, "%.3f mm told, %.3f mm true, firmware %s", c.findings.jitter.rms_mm,
                truth.jitter_rms_mm, firmware_names[static_cast<int>(c.rehearsed.firmware.family)]);
  if (error > 0.3) score.failures.push_back({"jitter", c.rehearsed.spec.seed, error, text});
}

void score_rate(const RehearsedCase& c, Score& score) {
  const double error = std::abs(c.findings.rate.rate_hz / c.rehearsed.truth.rate_hz - 1);
  score.rate_errors.push_back(error);
  char text[120];
  std::snprintf(text, sizeof text, "%.1f Hz told, %.1f Hz true", c.findings.rate.rate_hz,
                c.rehearsed.truth.rate_hz);
  if (error > 0.02) score.failures.push_back({"report rate", c.rehearsed.spec.seed, error, text});
}

template <class T>
void append(std::vector<T>& to, const std::vector<T>& from) {
  to.insert(to.end(), from.begin(), from.end());
}

template <std::size_t rows, std::size_t columns>
void append(std::array<std::array<int, columns>, rows>& to,
            const std::array<std::array<int, columns>, rows>& from) {
  for (std::size_t r = 0; r < rows; ++r)
    for (std::size_t k = 0; k < columns; ++k) to[r][k] += from[r][k];
}

}  // namespace

void Reliability::count(double confidence, bool hit) {
  for (std::size_t b = 0; b + 1 < edges.size(); ++b)
    if (confidence >= edges[b] && confidence < edges[b + 1]) right[b].count(hit), stated[b] += confidence;
}

void Reliability::add(const Reliability& r) {
  for (std::size_t b = 0; b < right.size(); ++b) right[b].add(r.right[b]), stated[b] += r.stated[b];
}

void Score::add(const Score& o) {
  cases += o.cases, through_format += o.through_format;
  append(verdicts, o.verdicts);
  for (std::size_t k = 0; k < undecided.size(); ++k) undecided[k] += o.undecided[k];
  false_fail.add(o.false_fail), false_fail_complete.add(o.false_fail_complete);
  for (std::size_t k = 0; k < told_by_losses.size(); ++k) told_by_losses[k].add(o.told_by_losses[k]);
  missed_dead.add(o.missed_dead), missed_evident.add(o.missed_evident);
  silent.add(o.silent), unswept.add(o.unswept), dropouts.add(o.dropouts), ghosts.add(o.ghosts);
  half_seen.add(o.half_seen), false_leaps.add(o.false_leaps);
  append(kinds, o.kinds);
  append(jitter_errors, o.jitter_errors), append(rate_errors, o.rate_errors);
  append(noise_errors, o.noise_errors), append(oracle_noise_errors, o.oracle_noise_errors);
  zones.add(o.zones), losses.add(o.losses);
  append(failures, o.failures);
}

Share Score::right_verdicts() const {
  Share share;
  for (std::size_t r = 0; r < outcomes; ++r)
    for (std::size_t t = 0; t < outcomes; ++t)
      share.of += verdicts[r][t], share.hits += r == t ? verdicts[r][t] : 0;
  return share;
}

Share Score::right_kinds() const {
  Share share;
  for (int planted = 0; planted < fault_kinds; ++planted) {
    const auto right = kind_to_tell(static_cast<FaultKind>(planted));
    if (!right) continue;
    for (int told = 0; told + 1 < told_kinds; ++told)
      share.of += kinds[planted][told],
          share.hits += told == static_cast<int>(*right) ? kinds[planted][told] : 0;
  }
  return share;
}

std::optional<ZoneKind> kind_to_tell(FaultKind kind) {
  switch (kind) {
    case FaultKind::dead_line:
    case FaultKind::weak_line:
      return ZoneKind::line;
    case FaultKind::partial_line:
      return ZoneKind::partial_line;
    case FaultKind::dead_area:
      return ZoneKind::area;
    case FaultKind::edge_band:
      return ZoneKind::edge_band;
    case FaultKind::bursts:
      return ZoneKind::bursts;
    default:
      return std::nullopt;
  }
}

Score score_of(const RehearsedCase& c, const Limits& limits) {
  Score score;
  score.cases = 1;
  score.through_format = !c.format.empty();
  score_verdict(c, limits, score);
  score_missed(c, score);
  score_cells(c, score);
  score_dropouts(c, score);
  score_ghosts(c, score);
  score_zones(c, score);
  score_jitter(c, score);
  score_rate(c, score);
  return score;
}

double median(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

}  // namespace paneproof
