// A sweep under way, judged by the one analyser: the log as it lies on the disk goes through the same reader,
// measures and verdict as `paneproof check` of it.
#pragma once

#include <optional>
#include <string>

#include "analyzer/cli/sweep/sweep_options.hpp"
#include "analyzer/measure/findings.hpp"
#include "analyzer/report/check_result.hpp"

namespace paneproof {

struct Judged {
  Trace trace;
  Notes notes;
  Findings findings;
  Verdict verdict;
  bool finger_down = false;  // a contact that has not ended yet
  bool limited = false;      // points came once a displayed frame
};

class Judging {
 public:
  // Throws InputError for a faulty panel, profile or limits file.
  explicit Judging(const SweepOptions& options);

  // The log so far. Without any touch yet: an unswept panel where the size is known, else empty.
  std::optional<Judged> judge() const;
  // The result as check would give it of the log; `judged` must outlive it.
  CheckResult result(const Judged& judged) const;
  // --json and --heatmap.
  void write(const Judged& judged) const;
  // What the page is told, as JSON values.
  std::string map_json(const std::optional<Judged>& judged) const;
  std::string verdict_json(const Judged& judged, int number) const;
  std::optional<std::pair<double, double>> panel_mm() const;
  // The question that evidence of the kept log answers.
  EvidenceCheck question() const;

 private:
  const SweepOptions& options_;
  PanelRequest panel_;
  std::string limits_text_;
  Limits limits_;
  std::vector<Condition> conditions_;
};

// What the five-target check shows, in one sentence; empty unless five pairs of mark and touch are given.
std::optional<std::string> aim_words(const std::string& points_json);
std::string json_string(const std::string& words);

}  // namespace paneproof
