// A rehearsal as a log of any format that the readers know.
#include "capture/log/writers.hpp"
#include "capture/rehearse/kernel_writers.hpp"
#include "capture/rehearse/rehearsal.hpp"

namespace paneproof {
namespace {

// Any uptime; not zero, so that readers must take the first event as their zero.
constexpr std::int64_t start_us = 4'217'380'156;

Trace in_mm(const Rehearsed& rehearsed) {
  Recording copy = rehearsed.recording;
  PanelRequest request;
  request.width_mm = rehearsed.spec.width_mm;
  request.height_mm = rehearsed.spec.height_mm;
  request.size_origin = "rehearsal";
  Notes notes;
  return scale(std::move(copy), request, notes);
}

std::string written(void (*write)(const Trace&, const Sink&), const Rehearsed& rehearsed) {
  std::string out;
  write(in_mm(rehearsed), [&](std::string_view piece) { out += piece; });
  return out;
}

using Writer = std::string (*)(const Rehearsed&);

template <MtProtocol protocol>
std::vector<KernelEvent> events_of(const Rehearsed& r) {
  return kernel_events(r.recording, r.lift_us, protocol);
}

std::string getevent(const Rehearsed& r, MtProtocol protocol, const GeteventStyle& style) {
  return write_getevent(device_facts(r.recording, protocol), kernel_events(r.recording, r.lift_us, protocol),
                        style, start_us);
}

struct Row {
  const char* name;
  Writer write;
};

constexpr auto slots = MtProtocol::slots;

const Row table[] = {
    {"getevent", [](const Rehearsed& r) { return getevent(r, slots, {}); }},
    {"getevent_numbers",
     [](const Rehearsed& r) {
       return getevent(r, slots, {false, true, true});
     }},
    {"getevent_packets", [](const Rehearsed& r) { return getevent(r, MtProtocol::packets, {}); }},
    {"getevent_bare_packets", [](const Rehearsed& r) { return getevent(r, MtProtocol::bare_packets, {}); }},
    {"evtest",
     [](const Rehearsed& r) {
       return write_evtest(device_facts(r.recording, slots), events_of<slots>(r), start_us);
     }},
    {"evemu",
     [](const Rehearsed& r) {
       return write_evemu(device_facts(r.recording, slots), events_of<slots>(r), start_us);
     }},
    {"libinput_record",
     [](const Rehearsed& r) {
       return write_libinput_record(device_facts(r.recording, slots), events_of<slots>(r), start_us);
     }},
    {"input_event",
     [](const Rehearsed& r) { return write_input_events(events_of<slots>(r), true, start_us); }},
    {"input_event_32",
     [](const Rehearsed& r) { return write_input_events(events_of<slots>(r), false, start_us); }},
    {"csv", [](const Rehearsed& r) { return written(write_csv, r); }},
    {"jsonl", [](const Rehearsed& r) { return written(write_jsonl, r); }},
    {"inkml", [](const Rehearsed& r) { return written(write_inkml, r); }},
};

}  // namespace

std::vector<std::string> rehearsal_formats() {
  std::vector<std::string> out;
  for (const Row& row : table) out.emplace_back(row.name);
  return out;
}

std::string write_rehearsal(const Rehearsed& rehearsed, const std::string& format) {
  for (const Row& row : table)
    if (format == row.name) return row.write(rehearsed);
  return {};
}

}  // namespace paneproof
