// What the writers share: touches of a Trace or a Recording behind one view, their rows in order of
// time, and exact decimals.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "capture/log/writers.hpp"

namespace paneproof {

struct Touches {
  explicit Touches(const Trace& trace);
  explicit Touches(const Recording& recording);

  const std::vector<Report>& reports;
  const std::vector<Contact>& contacts;
  const SourceFacts& source;
  bool in_mm;
  Axes axes;  // mm: 0 to the panel's size
};

enum class Phase { down, move, up, cancel };

struct TouchRow {
  const Report& report;  // for up and cancel the contact's last
  const Contact& contact;
  std::int64_t number;  // from 1
  Phase phase;
};

// Every row in order of time, those of equal time by contact. An open contact has no end row.
void each_row(const Touches& touches, const std::function<void(const TouchRow&)>& visit);

// us / 10^decimals as exact decimal text: (1234567, 6) is "1.234567".
std::string decimal(std::int64_t value, int decimals);
// mm with three decimals, or the shortest text of a log unit.
std::string position_text(double value, bool in_mm);

// Collects text and hands it to the sink in pieces.
class Pieces {
 public:
  explicit Pieces(const Sink& sink) : sink_(sink) {}
  Pieces& operator<<(std::string_view text);
  void finish();

 private:
  const Sink& sink_;
  std::string pending_;
};

}  // namespace paneproof
