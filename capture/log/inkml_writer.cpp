#include "capture/log/touch_rows.hpp"

namespace paneproof {
namespace {

const char* ending_word(Ending ending) {
  switch (ending) {
    case Ending::cancelled:
      return "cancelled";
    case Ending::broken:
      return "broken";
    case Ending::open:
      return "open";
    case Ending::lifted:
      break;
  }
  return "";
}

void channel(Pieces& out, const char* name, const std::optional<Axis>& axis, bool in_mm) {
  out << "      <channel name=\"" << name << "\" type=\"decimal\"";
  if (axis)
    out << " min=\"" << position_text(axis->min, in_mm) << "\" max=\"" << position_text(axis->max, in_mm)
        << "\"";
  out << (in_mm ? " units=\"mm\"/>\n" : "/>\n");
}

void head(Pieces& out, const Touches& touches) {
  out << "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<ink xmlns=\"http://www.w3.org/2003/InkML\">\n"
         "  <definitions>\n    <timestamp xml:id=\"start\" time=\"0\"/>\n    <traceFormat "
         "xml:id=\"panel\">\n";
  channel(out, "X", touches.axes.x, touches.in_mm);
  channel(out, "Y", touches.axes.y, touches.in_mm);
  out << "      <channel name=\"T\" type=\"decimal\" units=\"ms\" respectTo=\"#start\"/>\n    "
         "</traceFormat>\n"
         "    <context xml:id=\"sweep\" traceFormatRef=\"#panel\"/>\n  </definitions>\n";
}

// InkML knows strokes, not who made them nor how they ended: annotations around the trace say it.
bool open_group(Pieces& out, const Contact& contact) {
  if (contact.tool == Tool::finger && contact.ending == Ending::lifted) return false;
  out << "  <traceGroup>\n";
  if (contact.tool != Tool::finger)
    out << "    <annotation type=\"pointerType\">" << (contact.tool == Tool::pen ? "pen" : "palm")
        << "</annotation>\n";
  if (contact.ending != Ending::lifted)
    out << "    <annotation type=\"ending\">" << ending_word(contact.ending) << "</annotation>\n";
  return true;
}

void write(const Touches& touches, const Sink& sink) {
  Pieces out(sink);
  head(out, touches);
  for (const Contact& contact : touches.contacts) {
    const bool grouped = open_group(out, contact);
    out << "  <trace contextRef=\"#sweep\">";
    for (std::uint32_t i = 0; i < contact.count; ++i) {
      const Report& report = touches.reports[contact.first + i];
      out << (i == 0 ? "" : ",\n") << position_text(report.x, touches.in_mm) << " "
          << position_text(report.y, touches.in_mm) << " " << decimal(report.t_us, 3);
    }
    out << "</trace>\n" << (grouped ? "  </traceGroup>\n" : "");
  }
  out << "</ink>\n";
  out.finish();
}

}  // namespace

void write_inkml(const Trace& trace, const Sink& sink) { write(Touches(trace), sink); }
void write_inkml(const Recording& recording, const Sink& sink) { write(Touches(recording), sink); }

}  // namespace paneproof
