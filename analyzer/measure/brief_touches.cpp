#include "analyzer/measure/brief_touches.hpp"

#include <map>
#include <numeric>
#include <utility>

#include "analyzer/measure/length.hpp"

namespace paneproof {
namespace {

constexpr double brief_s = 0.15, stays_mm = 3.0;       // a brief one may wander a little
constexpr double brief_still_s = 0.5, still_mm = 1.0;  // a longer one must keep still
constexpr double tremble_mm = 5.0;                     // or tremble about one place
constexpr double link_s = 0.05, link_mm = 4.0, link_mm_s = 200;

bool brief(const ContactSpans& spans, std::uint32_t c) {
  const double lasts_s = spans.lasts_s(c);
  return lasts_s <= brief_still_s &&
         (keeps_still(spans, c) || (lasts_s <= brief_s && spans.extent_mm(c) <= stays_mm));
}

bool darts(const ContactSpans& spans, std::uint32_t c) {
  const double lasts_s = spans.lasts_s(c);
  return lasts_s <= brief_s && spans.extent_mm(c) > dart_mm_s * lasts_s;
}

double apart_mm(const Report& a, const Report& b) { return length(b.x - a.x, b.y - a.y); }

void find_broken_strokes(const ContactSpans& spans, BriefTouches& touches) {
  const auto n = static_cast<std::uint32_t>(touches.brief.size());
  std::vector<std::uint32_t> links = each_alone(n);
  for (std::uint32_t c = 0; c < n; ++c) {
    if (touches.stroke[c]) continue;
    spans.each_near(c, [&](std::uint32_t other) {
      const double gap_s = spans.start_s(c) - spans.end_s(other);
      if (other < c && !touches.stroke[other] && gap_s > 0 && gap_s <= link_s &&
          apart_mm(spans.last(other), spans.first(c)) < link_mm + link_mm_s * gap_s)
        links[root(links, c)] = root(links, other);
    });
  }
  // First and last touch of each chain.
  std::map<std::uint32_t, std::pair<std::uint32_t, std::uint32_t>> ends;
  for (std::uint32_t c = 0; c < n; ++c)
    if (!touches.stroke[c]) ends.try_emplace(root(links, c), c, c).first->second.second = c;
  for (std::uint32_t c = 0; c < n; ++c) {
    if (touches.stroke[c]) continue;
    const auto [from, to] = ends[root(links, c)];
    touches.stroke[c] = spans.end_s(to) - spans.start_s(from) > brief_s &&
                        apart_mm(spans.first(from), spans.last(to)) > spell_mm;
  }
}

}  // namespace

bool keeps_still(const ContactSpans& spans, std::uint32_t c) {
  const double extent_mm = spans.extent_mm(c);
  return extent_mm <= still_mm || (extent_mm <= tremble_mm && spans.drift_mm(c) <= still_mm);
}

std::vector<std::uint32_t> each_alone(std::size_t contacts) {
  std::vector<std::uint32_t> links(contacts);
  std::iota(links.begin(), links.end(), 0);
  return links;
}

BriefTouches brief_touches(const Trace& trace, const ContactSpans& spans) {
  BriefTouches touches;
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) {
    touches.brief.push_back(brief(spans, c));
    touches.stroke.push_back(!touches.brief[c] && !darts(spans, c));
  }
  find_broken_strokes(spans, touches);
  for (std::size_t c = 0; c < touches.brief.size(); ++c) touches.brief[c] &= !touches.stroke[c];
  return touches;
}

}  // namespace paneproof
