#include "capture/log/touch_rows.hpp"

namespace paneproof {
namespace {

const char* type_word(Phase phase) {
  switch (phase) {
    case Phase::down:
      return "pointerdown";
    case Phase::move:
      return "pointermove";
    case Phase::up:
      return "pointerup";
    case Phase::cancel:
      return "pointercancel";
  }
  return "";
}

// Only axes that start at 0 in one shared unit are what a screen in CSS px says.
bool is_screen(const Axes& axes) {
  return axes.x && axes.y && axes.x->min == 0 && axes.y->min == 0 && axes.square_units;
}

void write(const Touches& touches, const Sink& sink) {
  Pieces out(sink);
  out << "{";
  if (is_screen(touches.axes))
    out << "\"screen\":{\"width\":" << position_text(touches.axes.x->max, touches.in_mm)
        << ",\"height\":" << position_text(touches.axes.y->max, touches.in_mm) << ",\"left\":0,\"top\":0},";
  out << "\"all_reports\":" << (touches.source.limited_by_source ? "false" : "true") << "}\n";
  each_row(touches, [&](const TouchRow& row) {
    out << "{\"type\":\"" << type_word(row.phase) << "\",\"pointerId\":" << std::to_string(row.number)
        << ",\"pointerType\":\"" << (row.contact.tool == Tool::pen ? "pen" : "touch")
        << "\",\"timeStamp\":" << decimal(row.report.t_us, 3)
        << ",\"clientX\":" << position_text(row.report.x, touches.in_mm)
        << ",\"clientY\":" << position_text(row.report.y, touches.in_mm);
    if (row.contact.tool == Tool::palm) out << ",\"tool\":\"palm\"";
    out << "}\n";
  });
  out.finish();
}

}  // namespace

void write_jsonl(const Trace& trace, const Sink& sink) { write(Touches(trace), sink); }
void write_jsonl(const Recording& recording, const Sink& sink) { write(Touches(recording), sink); }

}  // namespace paneproof
