// paneproof convert: a touch log in another format, in mm where the size is known.
#include "analyzer/cli/commands.hpp"
#include "analyzer/cli/load.hpp"
#include "analyzer/cli/options.hpp"
#include "analyzer/cli/progress.hpp"
#include "capture/bytes/apart.hpp"
#include "capture/bytes/atomic_file.hpp"
#include "capture/log/writers.hpp"
#include "capture/model/input_error.hpp"
#include "capture/watch/path_csv.hpp"

namespace paneproof {
namespace {

struct ConvertOptions {
  std::string file, as, output = "-", axes, device;
  std::string follow, corners;
  PanelOptions panel;
};

template <class Touches>
void write_as(const std::string& format, const Touches& touches, const Sink& sink) {
  if (format == "csv") write_csv(touches, sink);
  if (format == "jsonl") write_jsonl(touches, sink);
  if (format == "inkml") write_inkml(touches, sink);
}

bool size_known(const PanelRequest& panel, const Axes& axes) {
  return panel.width_mm || panel.diagonal_mm ||
         (axes.x && axes.y && axes.x->units_per_mm && axes.y->units_per_mm && !axes.in_mm);
}

int run(const ConvertOptions& options) {
  keep_apart({options.file, options.axes, options.panel.profile}, {{"--output", options.output}});
  ProgressBar bar;
  LoadOptions load{panel_request(options.panel), options.axes, options.device, {}, false};
  load.watch.follow = options.follow;
  load.watch.corners = options.corners;
  load.watch.progress = [&](double share) { bar.show(share); };
  Notes notes;
  Recording recording = load_recording(options.file, load, notes);
  AtomicFile file(options.output);
  const Sink sink = [&](std::string_view piece) { file.write(piece); };
  const bool video = recording.source.recording.has_value();
  if (video && options.as == "csv")
    write_path_csv(scale(std::move(recording), load.panel, notes), sink);
  else if (size_known(load.panel, recording.axes))
    write_as(options.as, scale(std::move(recording), load.panel, notes), sink);
  else
    write_as(options.as, recording, sink);
  file.commit();
  for (const Note& note : notes.all()) std::fprintf(stderr, "note: %s\n", printable(note.text, 400).c_str());
  return 0;
}

}  // namespace

std::function<int()> set_up_convert(CLI::App& app) {
  const auto options = std::make_shared<ConvertOptions>();
  app.add_option("LOG", options->file, "touch log or recording of the screen; - is standard input")
      ->type_name("")
      ->required();
  app.add_option("--as", options->as, "format to write")
      ->required()
      ->check(CLI::IsMember({"csv", "jsonl", "inkml"}));
  app.add_option("-o,--output", options->output, "file to write; standard output when left out")
      ->type_name("FILE");
  add_panel_options(app, options->panel);
  add_log_options(app, options->axes, options->device);
  add_recording_options(app, options->follow, options->corners);
  return [options] { return run(*options); };
}

}  // namespace paneproof
