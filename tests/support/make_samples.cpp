// Makes the touch traces of samples/ with the rehearsal model: what each shows is planned here, and the
// same program makes the same bytes. The device names and the bench are invented.
//
// usage: make_samples FOLDER; then compress each trace: gzip -9n (samples/README.md holds their verdicts)
#include <cstdio>
#include <cstdlib>
#include <string>

#include "capture/rehearse/rehearsal.hpp"

namespace {

using namespace paneproof;

struct Sample {
  const char* file;
  const char* format;  // as write_rehearsal calls it
  const char* device;
  RehearsalSpec spec;
};

// An even hand that takes a panel over in rows or columns and runs once along the border.
RehearsalSpec careful(std::uint64_t seed, double width_mm, double height_mm, double rate_hz,
                      SweepStyle style) {
  RehearsalSpec spec;
  spec.seed = seed;
  spec.width_mm = width_mm;
  spec.height_mm = height_mm;
  spec.rate_hz = rate_hz;
  spec.family = FirmwareFamily::plain;
  spec.hand.style = style;
  spec.hand.row_distance_mm = 4.5;
  spec.hand.motion.speed_mm_s = 130;
  spec.hand.lifts_per_minute = 4;
  spec.hand.regrips_per_minute = 0;
  return spec;
}

RehearsalSpec handheld(std::uint64_t seed, SweepStyle style = SweepStyle::rows) {
  return careful(seed, 68, 142, 120, style);
}

RehearsalSpec tablet(std::uint64_t seed, SweepStyle style = SweepStyle::columns) {
  return careful(seed, 108, 172, 90, style);
}

RehearsalSpec with(RehearsalSpec spec, const FaultSpec& fault) {
  spec.faults.push_back(fault);
  return spec;
}

FaultSpec dead_column() {
  FaultSpec fault;
  fault.kind = FaultKind::dead_line;
  fault.along_x = false;
  fault.place = 0.64;
  return fault;
}

// A crack under the glass near the lower right corner; the corner itself still answers.
FaultSpec cracked_corner(double width_mm, double height_mm) {
  FaultSpec fault;
  fault.kind = FaultKind::dead_area;
  fault.centre = {width_mm - 20, height_mm - 24};
  fault.size_mm = 20;
  return fault;
}

FaultSpec insensitive_edge() {
  FaultSpec fault;
  fault.kind = FaultKind::edge_band;
  fault.side = 1;
  fault.size_mm = 6;
  fault.strength = 0.05;
  return fault;
}

FaultSpec charger_ghosts() {
  FaultSpec fault;
  fault.kind = FaultKind::ghosts;
  fault.per_minute = 25;
  fault.lasting_s = 0.12;
  return fault;
}

// Stops before the panel's end.
RehearsalSpec hurried() {
  RehearsalSpec spec = handheld(41);
  spec.hand.omission = Omission::early_stop;
  spec.hand.border_run = false;
  spec.hand.repairs = false;
  return spec;
}

// Sound glass, but the hand lets go in flight and lands again.
RehearsalSpec regripped(std::uint64_t seed) {
  RehearsalSpec spec = handheld(seed);
  spec.hand.lifts_per_minute = 0;
  spec.hand.regrips_per_minute = 6;
  return spec;
}

bool write(const std::string& path, const std::string& text) {
  std::FILE* file = std::fopen(path.c_str(), "wb");
  if (!file) return false;
  const bool whole = std::fwrite(text.data(), 1, text.size(), file) == text.size();
  return std::fclose(file) == 0 && whole;
}

// The lines of an evemu recording that describe the device.
std::string description(const std::string& recording) {
  return recording.substr(0, recording.find("\nE: ") + 1);
}

std::string beside(const std::string& folder, const std::string& file) {
  return folder + "/" + file.substr(0, file.rfind('.')) + ".desc";
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 2) return std::fputs("usage: make_samples FOLDER\n", stderr), 64;
  const char* handheld_name = "kestrel-hh touchscreen";
  const char* tablet_name = "kestrel-tab touchscreen";
  const Sample samples[] = {
      {"good-handheld.getevent", "getevent", handheld_name, handheld(11)},
      {"dead-column.evemu", "evemu", handheld_name, with(handheld(21), dead_column())},
      {"cracked-corner.jsonl", "jsonl", tablet_name, with(tablet(33), cracked_corner(108, 172))},
      {"insensitive-edge.csv", "csv", handheld_name, with(handheld(36), insensitive_edge())},
      {"unfinished.inkml", "inkml", handheld_name, hurried()},
      {"charger-ghosts.yml", "libinput_record", handheld_name, with(handheld(51), charger_ghosts())},
      {"lost-in-flight.bin", "input_event", handheld_name, regripped(70)},
      {"lost-in-flight-again.evtest", "evtest", handheld_name, handheld(70, SweepStyle::columns)},
  };
  for (const Sample& sample : samples) {
    Rehearsed rehearsed = rehearse(sample.spec);
    rehearsed.recording.source.device = sample.device;
    if (!write(std::string(argv[1]) + "/" + sample.file, write_rehearsal(rehearsed, sample.format)))
      return std::perror(sample.file), EXIT_FAILURE;
    // Raw records tell no axes: their description stands beside them.
    if (std::string(sample.format) == "input_event" &&
        !write(beside(argv[1], sample.file), description(write_rehearsal(rehearsed, "evemu"))))
      return std::perror(sample.file), EXIT_FAILURE;
  }
  return EXIT_SUCCESS;
}
