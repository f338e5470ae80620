// Speed and memory, as ratios that hold on any machine. Built with the tests, never run by ctest.
//
// usage: paneproof_bench PANEPROOF FOLDER   (FOLDER: 210 MB of scratch; tests/bench/run.sh)
#include <algorithm>
#include <cstdio>
#include <vector>

#include "capture/bytes/atomic_file.hpp"
#include "capture/log/formats.hpp"
#include "capture/model/input_error.hpp"
#include "capture/rehearse/rehearsal.hpp"
#include "tests/bench/children.hpp"
#include "tests/bench/long_log.hpp"

namespace {

using namespace paneproof;

constexpr int runs_long = 5, runs_short = 10;

// A steady hand at 120 Hz that takes a handheld over for somewhat more than a minute.
RehearsalSpec minute_spec() {
  RehearsalSpec spec = random_spec(12, Mix::good_complete);
  spec.width_mm = 68;
  spec.height_mm = 142;
  spec.rate_hz = 120;
  spec.hand.style = SweepStyle::rows;
  spec.hand.row_distance_mm = 3.5;
  spec.hand.motion.speed_mm_s = 55;
  return spec;
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

struct Measured {
  double cpu_s = 0, peak_mb = 0;
  int exit = 0;
};

Measured measure(const std::string& command, int runs) {
  std::vector<double> cpu_s;
  Measured m;
  for (int k = 0; k < runs; ++k) {
    const Cost cost = run_shell(command);
    cpu_s.push_back(cost.cpu_s);
    m.peak_mb = std::max(m.peak_mb, cost.peak_mb);
    m.exit = cost.exit;
  }
  m.cpu_s = median(cpu_s);
  return m;
}

void bench_long(const std::string& paneproof, const std::string& folder, const std::string& recording) {
  const std::string log = folder + "/long.getevent";
  const std::uint64_t bytes = write_repeated(recording, 200'000'000, log);
  const Measured grep = measure("LC_ALL=C grep -c SYN_REPORT '" + log + "' | cat", runs_long);
  const Measured check = measure("exec '" + paneproof + "' check '" + log + "' --panel 68x142", runs_long);
  std::printf("A getevent log of %.0f MB, analysed whole (median of %d)\n", static_cast<double>(bytes) * 1e-6,
              runs_long);
  std::printf("  LC_ALL=C grep -c SYN_REPORT | cat   %7.3f s CPU\n", grep.cpu_s);
  std::printf(
      "  paneproof check                     %7.3f s CPU   %.2f times grep   peak %.0f MB   exit %d\n\n",
      check.cpu_s, check.cpu_s / grep.cpu_s, check.peak_mb, check.exit);
  std::remove(log.c_str());
}

void bench_minute(const std::string& paneproof, const std::string& folder, const std::string& recording) {
  const std::string log = folder + "/minute.getevent", picture = folder + "/minute.png";
  write_file(log, first_seconds(recording, 60));
  const std::string check = "exec '" + paneproof + "' check '" + log + "' --panel 68x142";
  const Measured start = measure("exec '" + paneproof + "' --version", runs_short);
  const Measured plain = measure(check, runs_short);
  const Measured drawn = measure(check + " --heatmap '" + picture + "'", runs_short);
  std::printf("One minute at 120 Hz, a process each (median of %d)\n", runs_short);
  std::printf("  start-up alone (--version)          %7.1f ms CPU\n", start.cpu_s * 1e3);
  std::printf("  check                               %7.1f ms CPU   peak %.0f MB\n", plain.cpu_s * 1e3,
              plain.peak_mb);
  std::printf("  check with heatmap                  %7.1f ms CPU   peak %.0f MB   exit %d\n\n",
              drawn.cpu_s * 1e3, drawn.peak_mb, drawn.exit);
  std::remove(log.c_str());
  std::remove(picture.c_str());
}

void bench_reader(const Rehearsed& rehearsed, const std::string& format) {
  const std::string text = write_rehearsal(rehearsed, format);
  ReadOptions options;
  options.axes = rehearsed.recording.axes;
  std::size_t reports = 0, bytes = 0;
  const double start_s = own_cpu_s();
  while (own_cpu_s() - start_s < 0.4) {
    Notes notes;
    const auto source = memory_source(format, text);
    reports += read_log(*source, options, notes).reports.size();
    bytes += text.size();
  }
  const double cpu_s = own_cpu_s() - start_s;
  std::printf("  %-24s %8.0f MB/s  %10.2f million reports/s\n", format.c_str(),
              static_cast<double>(bytes) * 1e-6 / cpu_s, static_cast<double>(reports) * 1e-6 / cpu_s);
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) return std::fputs("usage: paneproof_bench PANEPROOF FOLDER\n", stderr), 64;
  try {
    const Rehearsed rehearsed = rehearse(minute_spec());
    const std::string recording = write_rehearsal(rehearsed, "getevent");
    bench_long(argv[1], argv[2], recording);
    bench_minute(argv[1], argv[2], recording);
    std::printf("Readers, in memory, CPU time\n");
    for (const std::string& format : rehearsal_formats()) bench_reader(rehearsed, format);
  } catch (const InputError& error) {
    return std::fprintf(stderr, "paneproof_bench: %s\n", error.what()), 74;
  }
  return 0;
}
