// The words and figures that the terminal and the picture share, so that both say the same.
// Figures are shortened towards caution: a share proven is cut, never rounded up; the untested
// circle is rounded up, never down.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "analyzer/report/check_result.hpp"

namespace paneproof {

// A number with so many decimals and a point, on every machine; "-" when it is not finite.
std::string fixed(double value, int decimals);

// A share of 0..1 as percent with one decimal, cut downwards: 0.99996 is "99.9 %".
std::string percent_down(double share);
// The same rounded, but a share that is not 0 is never shown as 0.
std::string percent_some(double share);

// "68.0 x 142.0 mm"
std::string panel_size(const Findings& findings);
// "column, 4.0 x 142.0 mm at x 32.0, y 0.0; lost on 5 of 5 passages"
std::string described(const DeadZone& zone);
// "column", "part of a column", "area", "edge band", "losses all over": what to call the zone in a few
// letters.
std::string called(const DeadZone& zone);

// A format's id in the result ("pointer_jsonl") as people call it ("Pointer Events"); an unknown one as it
// is.
std::string called_format(const std::string& id);

// "8.01 mm", rounded up: it must not be understated. The decimals that decide, so that every page says one
// number.
std::string untested_diameter(const Circle& circle);

struct Figure {
  std::string label, value;
};
// The figures a technician reads, in order: coverage, untested circle, dropouts, jitter, rate, ...
std::vector<Figure> key_figures(const Findings& findings);

// Does the note ask about what the verdict rests on? It stands beside the verdict then.
bool asks(const Note& note);

// The word to stand first: "PASS", "FAIL", "RESWEEP".
std::string shouted(Outcome outcome);

// The text without what XML, JSON or a font cannot show: invalid UTF-8 and controls become \xNN.
// Unlike printable() it never cuts.
std::string presentable(std::string_view text);

}  // namespace paneproof
