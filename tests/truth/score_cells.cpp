// Silent and unswept cells against the truth.
#include <algorithm>
#include <cmath>

#include "tests/truth/score_parts.hpp"

namespace paneproof {
namespace {

// The truth by square millimetres, one mask a question.
struct Places {
  Mask dead;          // dead, or a finger was lost there by a fault
  Mask told_of;       // a tellable loss ran over it
  Mask tellably_met;  // as Truth::met, without fingers where this firmware drops contacts by design
  Mask met_at_all;    // as Truth::met, with fingers that ran over the border: they are told on it
};

void set(Mask& mask, Vec at) {
  const int i = static_cast<int>(std::floor(at.x)), j = static_cast<int>(std::floor(at.y));
  if (i >= 0 && j >= 0 && i < mask.columns && j < mask.rows)
    mask.cells[static_cast<std::size_t>(j) * mask.columns + i] = 1;
}

// Where the finger went while it was lost.
void set_way(Mask& mask, const Truth& truth, const Loss& loss) {
  const auto finger = static_cast<std::size_t>(loss.finger);
  for (std::int64_t t = loss.from_us; t <= loss.to_us; t += finger_step_us)
    set(mask, finger_at(truth.fingers[finger], t - truth.finger_start_us[finger]).at);
}

// Some firmware ends contacts near the border (TruthKeeper asks nothing there either): no trace can tell
// that a finger was there.
Mask tellably_met(const Rehearsed& r) {
  if (!r.firmware.cut_drops) return r.truth.met;
  const double margin = r.firmware.border_cut_mm + 1.5, w = r.spec.width_mm, h = r.spec.height_mm;
  auto fingers = r.truth.fingers;
  for (auto& finger : fingers)
    for (FingerSample& s : finger)
      s.down = s.down && s.at.x > margin && s.at.y > margin && s.at.x < w - margin && s.at.y < h - margin;
  return met_mask(fingers, w, h);
}

Mask met_at_all(const Rehearsed& r) {
  const double reach = fingertip_reach_mm, w = r.spec.width_mm, h = r.spec.height_mm;
  auto fingers = r.truth.fingers;
  for (auto& finger : fingers)
    for (FingerSample& s : finger)
      if (s.at.x > -reach && s.at.y > -reach && s.at.x < w + reach && s.at.y < h + reach)
        s.at = {std::clamp(s.at.x, 0.0, w), std::clamp(s.at.y, 0.0, h)};
  return met_mask(fingers, w, h);
}

Places places_of(const Rehearsed& rehearsed) {
  const Truth& truth = rehearsed.truth;
  Places p;
  p.tellably_met = tellably_met(rehearsed);
  p.met_at_all = met_at_all(rehearsed);
  p.dead = p.told_of = truth.met;
  std::fill(p.told_of.cells.begin(), p.told_of.cells.end(), 0);
  for (int j = 0; j < p.dead.rows; ++j)
    for (int i = 0; i < p.dead.columns; ++i)
      p.dead.cells[static_cast<std::size_t>(j) * p.dead.columns + i] =
          truth.blind.at(i, j) || truth.unreachable.at(i, j) ||
          std::any_of(truth.dead_places.begin(), truth.dead_places.end(), [&](const DeadPlace& place) {
            return inside(place, {i + 0.5, j + 0.5});
          });
  for (const Loss& loss : truth.losses) {
    if (loss.cause != Cause::fault) continue;
    set_way(p.dead, truth, loss);
    if (tellable(loss)) set_way(p.told_of, truth, loss);
  }
  return p;
}

// Share of a cell, `wider` mm wider on each side, that is set.
double share_of(const Mask& mask, const Grid& grid, int column, int row, double wider) {
  const double x0 = column * grid.cell_mm - wider, y0 = row * grid.cell_mm - wider;
  const double side = grid.cell_mm + 2 * wider;
  int count = 0, hits = 0;
  for (int j = std::max(0, static_cast<int>(std::ceil(y0 - 0.5))); j < mask.rows && j + 0.5 < y0 + side; ++j)
    for (int i = std::max(0, static_cast<int>(std::ceil(x0 - 0.5))); i < mask.columns && i + 0.5 < x0 + side;
         ++i)
      ++count, hits += mask.at(i, j);
  return count ? static_cast<double>(hits) / count : 0;
}

bool askew(const Truth& truth) {
  return std::any_of(truth.faults.begin(), truth.faults.end(), [](const FaultSpec& f) {
    return f.kind == FaultKind::offset || f.kind == FaultKind::stretch;
  });
}

// Does the truth hold a square millimetre of the cell? The last column or row may be narrower than that.
bool measured(const Mask& mask, const Grid& grid, int column, int row) {
  return column * grid.cell_mm + 0.5 < mask.columns && row * grid.cell_mm + 0.5 < mask.rows;
}

struct Wrong {
  int silent = 0, not_silent = 0, unswept = 0, not_unswept = 0;
};

void score_cell(const RehearsedCase& c, const Places& places, int column, int row, Score& score,
                Wrong& wrong) {
  const Truth& truth = c.rehearsed.truth;
  const Grid& grid = c.findings.grid;
  if (!measured(truth.met, grid, column, row)) return;
  const CellState state = grid.at(column, row);
  const bool silent = state == CellState::silent || state == CellState::intermittent;
  const bool unswept = state == CellState::unswept;
  if (silent) {
    const bool right = share_of(places.dead, grid, column, row, grid.cell_mm) > 0;
    score.silent.precision.count(right);
    wrong.silent += !right;
  }
  if (share_of(truth.unreachable, grid, column, row, 0) >= 0.5 &&
      share_of(places.told_of, grid, column, row, 0) > 0) {
    score.silent.recall.count(silent);
    wrong.not_silent += !silent;
  }
  if (unswept) {
    const bool right = 1 - share_of(places.tellably_met, grid, column, row, 0) >= 0.1 ||
                       share_of(places.dead, grid, column, row, 0) > 0;
    score.unswept.precision.count(right);
    wrong.unswept += !right;
  }
  if (1 - share_of(places.met_at_all, grid, column, row, 0) >= 0.9) {
    score.unswept.recall.count(unswept);
    wrong.not_unswept += !unswept;
  }
}

}  // namespace

void score_cells(const RehearsedCase& c, Score& score) {
  const Truth& truth = c.rehearsed.truth;
  if (askew(truth)) return;
  const Places places = places_of(c.rehearsed);
  Wrong wrong;
  for (int row = 0; row < c.findings.grid.rows; ++row)
    for (int column = 0; column < c.findings.grid.columns; ++column)
      score_cell(c, places, column, row, score, wrong);
  const auto tell = [&](const char* kind, int count) {
    if (count > 0)
      score.failures.push_back(
          {kind, c.rehearsed.spec.seed, static_cast<double>(count),
           std::to_string(count) + " cells, " +
               (truth.faults.empty() ? "sound" : fault_names[static_cast<int>(truth.faults[0].kind)])});
  };
  tell("silent cells, false", wrong.silent);
  tell("silent cells, missed", wrong.not_silent);
  tell("unswept cells, false", wrong.unswept);
  tell("unswept cells, missed", wrong.not_unswept);
}

}  // namespace paneproof
