// Reference: OpenCV's morphological closing and connected components with statistics.
#include "analyzer/measure/regions.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>
#include <random>

using namespace paneproof;

TEST_CASE("regions are those of OpenCV's closing and connected components") {
  const unsigned seed = 20261;
  INFO("seed " << seed);
  std::mt19937 random(seed);
  for (int round = 0; round < 200; ++round) {
    const int width = 1 + static_cast<int>(random() % 50), height = 1 + static_cast<int>(random() % 50);
    const int reach = static_cast<int>(random() % 4);
    const unsigned one_in = 1 + random() % 40;
    std::vector<std::uint8_t> mask(static_cast<std::size_t>(width) * height);
    for (auto& pixel : mask) pixel = random() % one_in == 0;
    cv::Mat image(height, width, CV_8U, mask.data()), closed, labels, stats, centres;
    cv::morphologyEx(image, closed, cv::MORPH_CLOSE,
                     cv::getStructuringElement(cv::MORPH_RECT, {2 * reach + 1, 2 * reach + 1}));
    const int count = cv::connectedComponentsWithStats(closed, labels, stats, centres, 8, CV_32S);
    const Regions found = regions_of(mask, width, height, reach);
    INFO("round " << round << ", " << width << " x " << height << ", reach " << reach);
    REQUIRE(static_cast<int>(found.found.size()) == count);
    // The two may number the regions in another order.
    std::vector<int> theirs(found.found.size(), 0);
    bool same = true;
    for (std::size_t i = 0; i < mask.size(); ++i) {
      const auto ours = static_cast<std::size_t>(found.labels[i]);
      const int their = reinterpret_cast<int*>(labels.data)[i];
      if (theirs[ours] == 0) theirs[ours] = their;
      same = same && theirs[ours] == their && (ours == 0) == (their == 0);
    }
    CHECK(same);
    for (std::size_t label = 1; label < found.found.size(); ++label) {
      const Region& region = found.found[label];
      const int* stat = stats.ptr<int>(theirs[label]);
      CHECK(region.left == stat[cv::CC_STAT_LEFT]);
      CHECK(region.top == stat[cv::CC_STAT_TOP]);
      CHECK(region.right - region.left == stat[cv::CC_STAT_WIDTH]);
      CHECK(region.bottom - region.top == stat[cv::CC_STAT_HEIGHT]);
      CHECK(region.pixels == stat[cv::CC_STAT_AREA]);
    }
  }
}
