#include <algorithm>

#include "capture/log/touch_rows.hpp"

namespace paneproof {
namespace {

const char* phase_word(Phase phase) {
  switch (phase) {
    case Phase::down:
      return "down";
    case Phase::move:
      return "move";
    case Phase::up:
      return "up";
    case Phase::cancel:
      return "cancel";
  }
  return "";
}

const char* tool_word(Tool tool) {
  return tool == Tool::pen ? "pen" : tool == Tool::palm ? "palm" : "finger";
}

void write(const Touches& touches, const Sink& sink) {
  const bool tools = std::any_of(touches.contacts.begin(), touches.contacts.end(),
                                 [](const Contact& c) { return c.tool != Tool::finger; });
  Pieces out(sink);
  out << (touches.in_mm ? "t_s,contact,x_mm,y_mm,phase" : "t_s,contact,x,y,phase")
      << (tools ? ",tool\n" : "\n");
  each_row(touches, [&](const TouchRow& row) {
    out << decimal(row.report.t_us, 6) << "," << std::to_string(row.number) << ","
        << position_text(row.report.x, touches.in_mm) << "," << position_text(row.report.y, touches.in_mm)
        << "," << phase_word(row.phase);
    if (tools) out << "," << tool_word(row.contact.tool);
    out << "\n";
  });
  out.finish();
}

}  // namespace

void write_csv(const Trace& trace, const Sink& sink) { write(Touches(trace), sink); }
void write_csv(const Recording& recording, const Sink& sink) { write(Touches(recording), sink); }

}  // namespace paneproof
