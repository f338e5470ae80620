// Labels on the panel that hide neither each other nor what they name.
#pragma once

#include <string>
#include <vector>

#include "analyzer/report/sketch.hpp"

namespace paneproof {

class Labels {
 public:
  // Labels stay inside `bounds`.
  explicit Labels(const Rectangle& bounds) : bounds_(bounds) {}

  // Keeps a place free of labels: a mark that must stay visible.
  void keep_free(const Rectangle& place) { taken_.push_back(place); }
  // Draws the words beside, above, below or on `target`, where they touch no other label, over a plate.
  // False, and nothing drawn, when there is no such place.
  bool place(Sketch& sketch, const std::string& words, const Rectangle& target, const Colour& ink);

 private:
  bool is_free(const Rectangle& place) const;
  Rectangle bounds_;
  std::vector<Rectangle> taken_;
};

}  // namespace paneproof
