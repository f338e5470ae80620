// Option groups that several commands share, bound to plain structs.
#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

#include "analyzer/verdict/verdict.hpp"
#include "capture/model/panel.hpp"

namespace paneproof {

// As typed; checked by panel_request.
struct PanelOptions {
  std::string panel, diagonal, aspect, range, profile;
  int rotate = 0;
};

void add_panel_options(CLI::App& app, PanelOptions& options);

// --axes and --device, for logs that do not tell their axes or hold several devices.
void add_log_options(CLI::App& app, std::string& axes, std::string& device);
// --follow and --corners, for recordings of the screen.
void add_recording_options(CLI::App& app, std::string& follow, std::string& corners);

// What the options and the profile file say together; options win over the profile.
// Throws InputError (64 for an option, 65 or 66 for the profile).
PanelRequest panel_request(const PanelOptions& options);

// --condition, and what was typed as it is judged by.
void add_condition_option(CLI::App& app, std::vector<std::string>& typed);
std::vector<Condition> conditions_of(const std::vector<std::string>& typed);

// The text of a limits file; that of the limits that are built in where none is named.
std::string limits_text(const std::string& file);

// "68x142" to its two numbers. Throws InputError (64) naming the option and what was expected.
std::pair<double, double> two_numbers(const std::string& option, const std::string& text,
                                      const char* expected);

}  // namespace paneproof
