#include "capture/video/rectify.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <random>

using namespace paneproof;

// Outside check: OpenCV's getPerspectiveTransform.
TEST_CASE("the homography of four corners is that of OpenCV") {
  std::mt19937_64 dice(20260101);
  std::uniform_real_distribution<double> off(-60, 60);
  for (int turn = 0; turn < 200; ++turn) {
    INFO("seed 20260101, turn " << turn);
    const video::Corners corners{{{100 + off(dice), 100 + off(dice)},
                                  {500 + off(dice), 90 + off(dice)},
                                  {520 + off(dice), 800 + off(dice)},
                                  {80 + off(dice), 790 + off(dice)}}};
    const auto h = video::homography(corners, 300, 640);
    REQUIRE(h);
    std::vector<cv::Point2f> from{{0, 0}, {300, 0}, {300, 640}, {0, 640}}, to;
    for (const video::Corner& c : corners) to.emplace_back(static_cast<float>(c.x), static_cast<float>(c.y));
    const cv::Mat reference = cv::getPerspectiveTransform(from, to);
    for (const auto& [x, y] : {std::pair{10.0, 20.0}, {150.0, 320.0}, {290.0, 600.0}}) {
      const auto place = [&](auto at) {
        const double w = at(2, 0) * x + at(2, 1) * y + at(2, 2);
        return std::pair{(at(0, 0) * x + at(0, 1) * y + at(0, 2)) / w,
                         (at(1, 0) * x + at(1, 1) * y + at(1, 2)) / w};
      };
      const auto own = place([&](int i, int j) { return (*h)[static_cast<std::size_t>(3 * i + j)]; });
      const auto other = place([&](int i, int j) { return reference.at<double>(i, j); });
      CHECK(own.first == Approx(other.first).margin(1e-3));
      CHECK(own.second == Approx(other.second).margin(1e-3));
    }
  }
}

TEST_CASE("corners that are no quadrilateral, or not eight numbers, are not taken") {
  for (const char* text : {"", "1,2,3", "0,0,100,0,100,100,0,100,5", "0,0,0,100,100,100,100,0",
                           "0,0,100,0,50,0,0,100", "nan,0,100,0,100,100,0,100", "0,0,10,0,10,10,0,10"})
    CHECK_FALSE(video::corners_of(text));
  CHECK(video::corners_of("0,0,100,0,100,200,0,200"));
}

TEST_CASE("corners are followed when the camera moves a little") {
  std::mt19937_64 dice(4);
  const auto film = [&](double dx, double dy) {
    video::Plane plane{300, 400, std::vector<std::uint8_t>(300 * 400, 130)};
    for (int y = 0; y < 400; ++y)
      for (int x = 0; x < 300; ++x) {
        const double u = x - 60 - dx, v = y - 60 - dy;
        const bool bezel = u > -8 && v > -8 && u < 188 && v<288, panel = u> 0 && v > 0 && u < 180 && v < 280;
        plane.row(y)[x] = static_cast<std::uint8_t>((panel   ? 180
                                                     : bezel ? 20
                                                             : 130) +
                                                    static_cast<int>(dice() % 5));
      }
    return plane;
  };
  video::Rectify rectify(*video::corners_of("60,60,240,60,240,340,60,340"), 1);
  video::Plane out;
  for (int k = 0; k < 20; ++k) rectify.apply(film(0.4 * k, 0.3 * k), out);
  CHECK(rectify.corners()[0].x == Approx(60 + 0.4 * 19).margin(0.6));
  CHECK(rectify.corners()[2].y == Approx(340 + 0.3 * 19).margin(0.6));
}
