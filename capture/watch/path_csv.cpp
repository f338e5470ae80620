#include "capture/watch/path_csv.hpp"

#include <algorithm>
#include <cstdio>

namespace paneproof {

void write_path_csv(const Trace& trace, const std::function<void(std::string_view)>& sink) {
  sink("t_s,contact,x_mm,y_mm,sd_mm\n");
  std::vector<const Report*> order;
  for (const Report& report : trace.reports) order.push_back(&report);
  std::stable_sort(order.begin(), order.end(),
                   [](const Report* a, const Report* b) { return a->t_us < b->t_us; });
  char text[160];
  for (const Report* r : order) {
    const int length =
        std::snprintf(text, sizeof text, "%.6f,%u,%.3f,%.3f,%.4f\n", static_cast<double>(r->t_us) * 1e-6,
                      r->contact + 1, r->x, r->y, static_cast<double>(r->sd));
    sink({text, static_cast<std::size_t>(length)});
  }
}

}  // namespace paneproof
