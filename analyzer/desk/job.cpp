// paneproof job: the story of a job, its picture, and the bench's notes.
#include <algorithm>
#include <cstdio>

#include "analyzer/cli/commands.hpp"
#include "analyzer/desk/desk.hpp"
#include "analyzer/ledger/bench_checks.hpp"
#include "analyzer/ledger/record.hpp"
#include "analyzer/ledger/stages_picture.hpp"
#include "analyzer/ledger/story.hpp"
#include "analyzer/report/png.hpp"
#include "analyzer/report/svg.hpp"
#include "capture/bytes/apart.hpp"
#include "capture/bytes/atomic_file.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

struct JobOptions {
  std::string job, stage, by, picture, ledger;
  std::vector<std::string> notes;
};

// "charging=works"
BenchNote note_of(const std::string& typed, const JobOptions& options,
                  const std::vector<std::string>& names) {
  const std::size_t equals = typed.find('=');
  const std::string name = typed.substr(0, equals),
                    state = equals == typed.npos ? "" : typed.substr(equals + 1);
  const auto refuse = [&](const std::string& expected) -> void {
    throw InputError("", "--note " + printable(typed), expected, "", Exit::usage);
  };
  if (state != "works" && state != "does not" && state != "not tried")
    refuse("expected NAME=works, NAME=\"does not\" or NAME=\"not tried\"");
  std::string all;
  for (const std::string& known : names) all += (all.empty() ? "" : ", ") + known;
  if (std::find(names.begin(), names.end(), name) == names.end())
    refuse("expected one of " + all + " (bench-checks.txt in the data folder is the list)");
  return {options.job, options.stage, name, state, options.by};
}

int note(const JobOptions& options) {
  if (options.stage.empty())
    throw InputError("", "--note", "expected --stage as well", "intake, open, closed or return", Exit::usage);
  if (!options.by.empty()) check_name("--by", options.by);
  const std::vector<std::string> names = bench_check_names();
  std::vector<BenchNote> notes;
  for (const std::string& typed : options.notes) notes.push_back(note_of(typed, options, names));
  Ledger ledger(ledger_file(options.ledger), Ledger::Mode::write);
  const std::uint64_t first = record_notes(ledger, notes);
  for (std::size_t i = 0; i < notes.size(); ++i)
    std::fprintf(stderr, "recorded: entry %llu\n", static_cast<unsigned long long>(first + i));
  return 0;
}

void tell(const std::vector<StageResult>& stages, const Ledger& ledger, const JobOptions& options) {
  std::printf("job %s\n", printable(options.job).c_str());
  for (std::size_t i = 0; i < stages.size(); ++i) {
    std::printf("\n%-8s %s  entry %llu, %s\n", stages[i].stage.c_str(), stages[i].verdict.c_str(),
                static_cast<unsigned long long>(stages[i].number), stages[i].stated_time.c_str());
    for (const std::string& change : changes(stages, i)) std::printf("  - %s\n", change.c_str());
  }
  for (const char* stage : {"intake", "open", "closed", "return"}) {
    std::string told;
    for (const auto& [name, state] : checks_at(ledger, options.job, stage))
      if (state != "not tried") told += (told.empty() ? "" : "; ") + name + " " + state;
    if (!told.empty()) std::printf("\n%-8s %s\n", stage, printable(told, 2000).c_str());
  }
}

int story(const JobOptions& options) {
  if (!options.picture.empty() && !options.picture.ends_with(".svg") && !options.picture.ends_with(".png"))
    throw InputError("", "--picture " + printable(options.picture),
                     "expected a name that ends in .png or .svg", "", Exit::usage);
  keep_apart({ledger_file(options.ledger)}, {{"--picture", options.picture}});
  const Ledger ledger(ledger_file(options.ledger), Ledger::Mode::read);
  const std::vector<StageResult> stages = stages_of(ledger, options.job);
  bool noted = false;
  for (const char* stage : {"intake", "open", "closed", "return"})
    for (const auto& [name, state] : checks_at(ledger, options.job, stage)) noted |= state != "not tried";
  if (stages.empty() && !noted)
    throw InputError(ledger.file(), "job " + printable(options.job), "no such job in the ledger",
                     "paneproof check --evidence FILE.pdf --job records one", Exit::no_input);
  if (!options.picture.empty()) {
    if (stages.empty())
      throw InputError(ledger.file(), "job " + printable(options.job), "expected a sweep to draw", "");
    const Picture picture = stages_picture(stages, options.job);
    write_file(options.picture, options.picture.ends_with(".svg") ? paint_svg(picture) : paint_png(picture));
  }
  tell(stages, ledger, options);
  return 0;
}

}  // namespace

std::function<int()> set_up_job(CLI::App& app) {
  const auto options = std::make_shared<JobOptions>();
  app.add_option("JOB", options->job, "job or work order")->type_name("")->required();
  app.add_option("--stage", options->stage, "stage that a note is for")
      ->check(CLI::IsMember({"intake", "open", "closed", "return"}));
  app.add_option("--note", options->notes,
                 "what a function check showed; STATE is works, \"does not\" or \"not tried\" (repeatable)")
      ->type_name("NAME=STATE")
      ->take_all()
      ->expected(1)
      ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
  app.add_option("--by", options->by, "who checked")->type_name("NAME");
  app.add_option("--picture", options->picture,
                 "write the stages side by side, with what changed, to this .png or .svg")
      ->type_name("FILE");
  app.add_option("--ledger", options->ledger, "ledger file, instead of the one in the data folder")
      ->type_name("FILE");
  return [options] {
    check_name("job", options->job, 64);
    if (!options->picture.empty() && !options->picture.ends_with(".png") &&
        !options->picture.ends_with(".svg"))
      throw InputError("", "--picture " + options->picture, "expected a name that ends in .png or .svg", "",
                       Exit::usage);
    return options->notes.empty() ? story(*options) : note(*options);
  };
}

}  // namespace paneproof
