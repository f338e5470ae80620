// paneproof rehearse: a made-up sweep with known truth, for training and for checking an installation.
#include <charconv>
#include <cstdio>
#include <optional>

#include "analyzer/cli/commands.hpp"
#include "analyzer/cli/options.hpp"
#include "capture/bytes/apart.hpp"
#include "capture/bytes/atomic_file.hpp"
#include "capture/model/input_error.hpp"
#include "capture/rehearse/rehearsal.hpp"

namespace paneproof {
namespace {

constexpr const char* no_fault = "none";

struct RehearseOptions {
  std::uint64_t seed = 1;
  std::string seed_text, panel, sweep, fault, as, output = "-", truth;
  bool incomplete = false;
  std::optional<double> rate_hz, speed_mm_s, row_mm;  // none: by the seed
};

// Names are typed with "-" and kept with "_".
std::string typed(std::string name) {
  for (char& c : name)
    if (c == '_') c = '-';
  return name;
}

template <std::size_t count>
std::vector<std::string> typed_names(const char* const (&names)[count]) {
  std::vector<std::string> out;
  for (const char* name : names) out.push_back(typed(name));
  return out;
}

// Place of a name in a table; it is there, as the command line has checked.
template <std::size_t count>
int index_of(const std::string& name, const char* const (&names)[count]) {
  for (std::size_t k = 0; k < count; ++k)
    if (typed(names[k]) == name) return static_cast<int>(k);
  return 0;
}

[[noreturn]] void refuse(const std::string& what, const std::string& expected) {
  throw InputError("", what, expected, "see paneproof rehearse --help", Exit::usage);
}

void within(const char* option, std::optional<double> value, double least, double most, const char* unit) {
  if (!value || (*value >= least && *value <= most)) return;
  char expected[80];
  std::snprintf(expected, sizeof expected, "expected %g to %g %s", least, most, unit);
  refuse(option, expected);
}

// A seed that does not fit would quietly become another one, and with it another panel.
std::uint64_t seed_of(const std::string& text) {
  std::uint64_t seed = 0;
  const char* end = text.data() + text.size();
  const auto [rest, error] = std::from_chars(text.data(), end, seed);
  if (error != std::errc() || rest != end)
    refuse("--seed " + printable(text), "expected a whole number from 0 to 18446744073709551615");
  return seed;
}

RehearsalSpec drawn(const RehearseOptions& options) {
  const bool faulty = !options.fault.empty() && options.fault != no_fault;
  if (faulty) return random_spec(options.seed, static_cast<FaultKind>(index_of(options.fault, fault_names)));
  if (options.incomplete) return random_spec(options.seed, Mix::good_incomplete);
  return random_spec(options.seed, options.fault == no_fault ? Mix::good_complete : Mix::mixed);
}

// A place that was drawn in mm for another size keeps its share of the sides.
void resize(RehearsalSpec& spec, double width_mm, double height_mm) {
  for (FaultSpec& fault : spec.faults) {
    fault.centre.x *= width_mm / spec.width_mm;
    fault.centre.y *= height_mm / spec.height_mm;
  }
  spec.width_mm = width_mm;
  spec.height_mm = height_mm;
}

RehearsalSpec spec_of(const RehearseOptions& options) {
  within("--rate", options.rate_hz, 30, 500, "scans a second");
  within("--speed", options.speed_mm_s, 10, 1000, "mm/s");
  within("--row", options.row_mm, 1, 40, "mm");
  RehearsalSpec spec = drawn(options);
  if (options.incomplete && spec.hand.omission == Omission::none) {
    spec.hand.omission = random_spec(options.seed, Mix::good_incomplete).hand.omission;
    spec.hand.repairs = false;
  }
  if (!options.panel.empty()) {
    const auto [width, height] = two_numbers("--panel", options.panel, "WIDTHxHEIGHT in mm, such as 68x142");
    if (width < 40 || height < 40 || width > 600 || height > 600)
      refuse("--panel " + options.panel, "expected sides of 40 to 600 mm");
    resize(spec, width, height);
  }
  HandSpec& hand = spec.hand;
  if (!options.sweep.empty())
    hand.style = static_cast<SweepStyle>(index_of(options.sweep, sweep_style_names));
  spec.rate_hz = options.rate_hz.value_or(spec.rate_hz);
  hand.motion.speed_mm_s = options.speed_mm_s.value_or(hand.motion.speed_mm_s);
  hand.row_distance_mm = options.row_mm.value_or(hand.row_distance_mm);
  return spec;
}

// What a check of the log needs to be told; nothing of the truth, which would spoil the training.
void tell(const RehearseOptions& options, const Rehearsed& rehearsed) {
  const Axes& axes = rehearsed.recording.axes;
  std::fprintf(stderr, "note: a rehearsal, no real panel: seed %llu, %lld reports in %.1f s\n",
               static_cast<unsigned long long>(options.seed),
               static_cast<long long>(rehearsed.recording.reports.size()),
               static_cast<double>(rehearsed.recording.source.duration_us) * 1e-6);
  std::fprintf(stderr, "note: check it with --panel %gx%g", rehearsed.spec.width_mm,
               rehearsed.spec.height_mm);
  if (options.as == "input_event" || options.as == "input_event_32")
    std::fprintf(stderr, " --range %.0fx%.0f", axes.x->max, axes.y->max);
  std::fprintf(stderr, "\n");
}

int run(const RehearseOptions& options) {
  if (options.output == "-" && options.truth == "-")
    refuse("--truth -", "expected the log and the truth in two places");
  keep_apart({}, {{"--output", options.output}, {"--truth", options.truth}});
  const Rehearsed rehearsed = rehearse(spec_of(options));
  write_file(options.output, write_rehearsal(rehearsed, options.as));
  if (!options.truth.empty()) write_file(options.truth, truth_json(rehearsed));
  tell(options, rehearsed);
  return 0;
}

}  // namespace

std::function<int()> set_up_rehearse(CLI::App& app) {
  const auto options = std::make_shared<RehearseOptions>();
  std::vector<std::string> faults = typed_names(fault_names);
  faults.insert(faults.begin(), no_fault);
  app.add_option("--seed", options->seed_text, "decides everything that no other option does: a whole number")
      ->type_name("NUMBER")
      ->required();
  app.add_option("--as", options->as, "format to write")
      ->required()
      ->check(CLI::IsMember(rehearsal_formats()));
  app.add_option("--panel", options->panel, "size of the touch area in mm, WIDTHxHEIGHT: 68x142")
      ->type_name("WIDTHxHEIGHT");
  app.add_option("--sweep", options->sweep, "how the hand goes over the panel")
      ->check(CLI::IsMember(typed_names(sweep_style_names)));
  app.add_option("--fault", options->fault, "what is wrong with the panel; none: a sound one")
      ->check(CLI::IsMember(faults));
  app.add_flag("--incomplete", options->incomplete, "the hand leaves something out");
  app.add_option("--rate", options->rate_hz, "scans a second, 30 to 500")->type_name("HZ");
  app.add_option("--speed", options->speed_mm_s, "mean speed of the finger, 10 to 1000 mm/s")
      ->type_name("MM/S");
  app.add_option("--row", options->row_mm, "distance of the rows, 1 to 40 mm")->type_name("MM");
  app.add_option("-o,--output", options->output, "log to write; standard output when left out")
      ->type_name("FILE");
  app.add_option("--truth", options->truth, "write what really happened as JSON to this file")
      ->type_name("FILE");
  return [options] {
    options->seed = seed_of(options->seed_text);
    return run(*options);
  };
}

}  // namespace paneproof
