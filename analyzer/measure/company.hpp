// Contacts beside a contact: fingertips that come close may merge, part again or exchange their numbers.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/findings.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

// Refers to what it is made of. counts: per contact, 0 for those that are no finger of the sweep.
class Company {
 public:
  Company(const Trace& trace, const std::vector<std::uint8_t>& counts) : trace_(trace), counts_(counts) {}

  // Is another contact than c down at `t_us`, with a report within 20 mm of `place`?
  bool another_near(std::uint32_t c, std::int64_t t_us, Point place) const;

  // The same for the end of c (its beginning), but for one that ends (begins) with it: fingers that come or
  // go together did not merge.
  bool another_stays(std::uint32_t c) const;
  bool another_was(std::uint32_t c) const;

  // Do touches come and go around the end of c, more than five within 0.1 s? Then noise makes them, and no
  // finger's way can be told.
  bool crowded(std::uint32_t c) const;

  // May the step from report `i` to the next of its contact be one from finger to finger, or to a place
  // between two that are seen as one, or back from it?
  bool exchanged(std::uint32_t i) const;

 private:
  const Report& first(std::uint32_t c) const { return trace_.reports[trace_.contacts[c].first]; }
  const Report& last(std::uint32_t c) const {
    return trace_.reports[trace_.contacts[c].first + trace_.contacts[c].count - 1];
  }
  template <class Test>
  bool any_beside(std::uint32_t c, std::int64_t until_us, const Test& test) const;
  template <class Test>
  bool near_at(std::uint32_t c, std::int64_t t_us, Point place, const Test& test) const;
  bool merged(const Report& a, const Report& b) const;

  const Trace& trace_;
  const std::vector<std::uint8_t>& counts_;
};

}  // namespace paneproof
