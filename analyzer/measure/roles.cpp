#include "analyzer/measure/roles.hpp"

#include <algorithm>
#include <functional>
#include <queue>

#include "analyzer/measure/decimals.hpp"
#include "analyzer/measure/ghosts.hpp"

namespace paneproof {
namespace {

int most_at_once(const Trace& trace, const std::vector<std::uint8_t>& counts, const ContactSpans& spans) {
  std::priority_queue<double, std::vector<double>, std::greater<>> ends;
  std::size_t most = 0;
  std::uint32_t sweep = 0;
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) {
    if (!counts[c]) continue;
    if (trace.contacts[c].sweep != sweep) ends = {}, sweep = trace.contacts[c].sweep;
    while (!ends.empty() && ends.top() < spans.start_s(c)) ends.pop();
    ends.push(spans.end_s(c));
    most = std::max(most, ends.size());
  }
  return static_cast<int>(most);
}

}  // namespace

Roles contact_roles(const Trace& trace) {
  Roles roles;
  roles.counts.assign(trace.contacts.size(), 0);
  bool finger = false, pen = false;
  for (const Contact& contact : trace.contacts) {
    finger |= contact.tool == Tool::finger;
    pen |= contact.tool == Tool::pen;
    roles.palms += contact.tool == Tool::palm;
  }
  roles.pen_only = pen && !finger;
  const Tool counted = roles.pen_only ? Tool::pen : Tool::finger;
  const ContactSpans spans(trace);
  std::vector<Touch> is(trace.contacts.size(), Touch::finger);
  if (!roles.pen_only) is = told_apart(trace, spans, counted);
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) {
    if (trace.contacts[c].tool != counted) continue;
    const Report& r = spans.first(c);
    if (is[c] == Touch::finger)
      roles.counts[c] = 1;
    else if (is[c] == Touch::palm)
      ++roles.palms;
    else
      roles.ghosts.push_back({static_cast<int>(trace.contacts[c].sweep), round_s(spans.start_s(c)),
                              round_mm(r.x), round_mm(r.y)});
  }
  roles.most_at_once = most_at_once(trace, roles.counts, spans);
  return roles;
}

}  // namespace paneproof
