// The trace formats of one InkML file: read from its elements, kept by the names of what stands around
// them, and found again by a trace's context (3.1.1 traceFormat, 4 contexts and ink sources).
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "capture/log/ink_channels.hpp"

namespace paneproof {

// Attributes of one element; names without their namespace prefix. Valid while the parser's array is.
class InkAttributes {
 public:
  explicit InkAttributes(const char** pairs) : pairs_(pairs) {}
  // "" when the element has none of that name.
  std::string get(std::string_view name) const;
  // The same as a number; empty when it is none.
  std::optional<double> number(std::string_view name) const;
  // The name that a reference like "#ts1" points at.
  std::string target(std::string_view name) const;

 private:
  const char** pairs_;
};

// A name as XML writes it, without its namespace prefix.
std::string_view ink_local_name(std::string_view name);

// Each step gives "" or what is wrong.
class InkFormats {
 public:
  void start_format() { building_ = {}; }
  std::string add_channel(const InkAttributes& attributes, bool intermittent);
  // The format goes by these names: its own and those of the context or source around it.
  std::string end_format(const std::vector<std::string>& names);
  // A context `id` that refers to another context, a source or a format.
  std::string add_context(const std::string& id, const InkAttributes& attributes);
  void start_source() { resolutions_.clear(); }
  void add_property(const InkAttributes& attributes);
  void end_source();

  // The format of a trace in this context, else the latest; null when there is none.
  const InkFormat* of(const std::string& context) const;

 private:
  std::vector<InkFormat> formats_;
  std::map<std::string, std::size_t> named_;
  std::vector<std::pair<std::string, double>> resolutions_;  // channel to units/mm
  InkFormat building_;
};

}  // namespace paneproof
