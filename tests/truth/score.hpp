// What a case adds to the figures, and their sum over cases.
//
// Cells (state as told; the truth by square millimetres, averaged over the cell)
//   silent cells (silent or intermittent), precision: right when, within one cell's width of it, the panel
//     is dead (no report possible, or unseen fingers, or the planted place) or a finger was lost by a fault.
//   silent cells, recall: of cells at least half of which cannot report, over which a tellable loss ran
//     (clear_cut.hpp), those told silent or intermittent.
//   unswept cells, precision: wrong when fingers came within 4 mm of more than nine tenths of it; a dead
//     one is forgiven, and fingers do not count where the firmware drops contacts near the border by design.
//   unswept cells, recall: of cells of nine tenths of which no finger came within 4 mm, those told unswept;
//     fingers that ran over the border count as on it, where they are told.
//   Panels that tell positions askew (offset, stretch) are left out: their cells are not where they seem.
// Dropouts
//   A dropout is right when it starts within 50 ms before a loss by a fault, or 50 ms after its start, or
//   during it, or returns within 50 ms of its end. One that matches another loss (merged fingers, palms, the
//   firmware's own, before a landing or until a lift) is neither right nor wrong. Recall: of tellable losses.
// Ghosts: a touch told within 50 ms and 5 mm of one that a fault made. Water and palms are neutral, and so
//   are ghosts within 12 mm of a finger, as noise splits a finger's touch.
// Dead zones: a zone told belongs to a planted place when their boxes, 5 mm wider, overlap; of several the
//   one with the largest overlap. Bursts have no place.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "tests/truth/clear_cut.hpp"

namespace paneproof {

struct Share {
  std::int64_t hits = 0, of = 0;
  void count(bool hit) { hits += hit, ++of; }
  void add(const Share& s) { hits += s.hits, of += s.of; }
  double value() const { return of ? static_cast<double>(hits) / static_cast<double>(of) : 0; }
};

struct PrecisionRecall {
  Share precision, recall;
  void add(const PrecisionRecall& s) { precision.add(s.precision), recall.add(s.recall); }
};

// Confidence against how often it was right, by bins.
struct Reliability {
  static constexpr std::array<double, 7> edges = {0, 0.5, 0.7, 0.9, 0.97, 0.995, 1.0001};
  std::array<Share, edges.size() - 1> right;
  std::array<double, edges.size() - 1> stated{};  // sum of confidences
  void count(double confidence, bool hit);
  void add(const Reliability& r);
};

// Something that went wrong in a case.
struct Failure {
  std::string kind;
  std::uint64_t seed = 0;
  double weight = 0;  // the larger the worse, within its kind
  std::string text;
};

inline constexpr int outcomes = 3, told_kinds = 6;  // ZoneKind, and none

struct Score {
  int cases = 0, through_format = 0;
  std::array<std::array<int, outcomes>, outcomes> verdicts{};  // [right][told], clear-cut
  std::array<int, outcomes> undecided{};                       // told, where no verdict is the right one
  Share false_fail;                                            // sound panels that failed
  Share false_fail_complete;                                   // of them those called swept
  Share missed_dead;                                           // swept dead zones of 6 mm or more: passed
  Share missed_evident;                                        // of them those with a tellable loss: passed
  // An oracle that knows the finger's way and every loss: swept dead zones of 6 mm or more that left 0, 1, 2,
  // 3 to 5, or more tellable losses; told as faults.
  std::array<Share, 5> told_by_losses;
  PrecisionRecall silent, unswept, dropouts, ghosts;
  Share half_seen;    // losses before a landing or until a lift: told
  Share false_leaps;  // dropouts told wrongly: leaps within a contact that missed no report
  std::array<std::array<int, told_kinds>, fault_kinds> kinds{};  // [planted][told]
  std::vector<double> jitter_errors, rate_errors;                // relative, absolute value
  // Of jitter, against what noise alone does; and of an oracle that knows the noise, but looks at it through
  // the same short windows.
  std::vector<double> noise_errors, oracle_noise_errors;
  Reliability zones, losses;
  std::vector<Failure> failures;

  void add(const Score& other);
  Share right_verdicts() const;
  Share right_kinds() const;  // of those told
};

// The kind of zone that a planted fault should be told as; none for faults without a place.
std::optional<ZoneKind> kind_to_tell(FaultKind kind);

Score score_of(const RehearsedCase& c, const Limits& limits);

// 0 for none.
double median(std::vector<double> values);

}  // namespace paneproof
