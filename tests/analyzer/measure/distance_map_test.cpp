// Reference: OpenCV's exact distance transform (cv::distanceTransform, DIST_MASK_PRECISE).
#include "analyzer/measure/distance_map.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>
#include <random>

using namespace paneproof;

TEST_CASE("distances to the nearest marked pixel are those of OpenCV's exact transform") {
  const unsigned seed = 20260;
  INFO("seed " << seed);
  std::mt19937 random(seed);
  for (int round = 0; round < 200; ++round) {
    const int width = 1 + static_cast<int>(random() % 60), height = 1 + static_cast<int>(random() % 60);
    const unsigned one_in = 1U << (random() % 10);
    std::vector<std::uint8_t> marks(static_cast<std::size_t>(width) * height);
    for (auto& mark : marks) mark = random() % one_in == 0;
    marks[random() % marks.size()] = 1;
    cv::Mat free(height, width, CV_8U), expected;
    for (std::size_t i = 0; i < marks.size(); ++i) free.data[i] = !marks[i];
    cv::distanceTransform(free, expected, cv::DIST_L2, cv::DIST_MASK_PRECISE, CV_32F);
    const std::vector<float> found = distance_map(marks, width, height);
    INFO("round " << round << ", " << width << " x " << height);
    double furthest = 0;
    for (std::size_t i = 0; i < found.size(); ++i)
      furthest = std::max(furthest, std::abs(double{found[i]} - reinterpret_cast<float*>(expected.data)[i]));
    CHECK(furthest < 1e-4);
  }
}

TEST_CASE("without a marked pixel every distance is beyond any panel") {
  for (const float distance : distance_map(std::vector<std::uint8_t>(12, 0), 4, 3)) CHECK(distance == 1e9F);
}
