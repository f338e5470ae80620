// Reference: the least squares of the GNU Scientific Library (gsl_multifit_linear).
#include "analyzer/measure/own_way.hpp"

#include <gsl/gsl_multifit.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/trace_builder.hpp"

namespace paneproof {

TEST_CASE("a finger's own way is a library's parabola through its reports") {
  const std::uint64_t seed = GENERATE(1, 2, 3);
  INFO("seed " << seed);
  SweepMaker maker(68, 142);
  maker.noise(0.1, seed).stroke({{5, 60}, {20, 62}, {35, 60}});
  const Trace trace = maker.trace();
  const std::uint32_t last = trace.contacts[0].count - 1;
  const Report &p = trace.reports[0], &q = trace.reports[last];
  const auto way = own_way(trace, 0, last, {p.x, p.y}, {q.x, q.y});
  REQUIRE(way);

  const double chord = std::hypot(q.x - p.x, q.y - p.y), ux = (q.x - p.x) / chord, uy = (q.y - p.y) / chord;
  const std::size_t n = last + 1;
  gsl_matrix* rows = gsl_matrix_alloc(n, 3);
  gsl_matrix* covariance = gsl_matrix_alloc(3, 3);
  gsl_vector* across = gsl_vector_alloc(n);
  gsl_vector* shape = gsl_vector_alloc(3);
  for (std::size_t i = 0; i < n; ++i) {
    const Report& r = trace.reports[i];
    const double along = (r.x - p.x) * ux + (r.y - p.y) * uy;
    for (std::size_t k = 0; k < 3; ++k) gsl_matrix_set(rows, i, k, std::pow(along, k));
    gsl_vector_set(across, i, (r.y - p.y) * ux - (r.x - p.x) * uy);
  }
  gsl_multifit_linear_workspace* work = gsl_multifit_linear_alloc(n, 3);
  double squares = 0;
  gsl_multifit_linear(rows, across, shape, covariance, &squares, work);
  for (const Point at : {Point{10, 61}, Point{34, 66}, Point{41, 55}}) {
    const double along = (at.x_mm - p.x) * ux + (at.y_mm - p.y) * uy;
    const double on = gsl_vector_get(shape, 0) + gsl_vector_get(shape, 1) * along +
                      gsl_vector_get(shape, 2) * along * along;
    CHECK(way->along_mm(at.x_mm, at.y_mm) == Approx(along));
    CHECK(way->off_mm(at.x_mm, at.y_mm) ==
          Approx((at.y_mm - p.y) * ux - (at.x_mm - p.x) * uy - on).margin(1e-6));
  }
  CHECK(way->rest_mm() == Approx(std::sqrt(squares / static_cast<double>(n))));
  CHECK(way->bow_mm() == Approx(gsl_vector_get(shape, 2) * chord * chord / 4));
  gsl_multifit_linear_free(work);
  gsl_vector_free(shape), gsl_vector_free(across), gsl_matrix_free(covariance), gsl_matrix_free(rows);
}

TEST_CASE("reports that stand at one place, or too few, settle no way") {
  const Trace resting = SweepMaker(68, 142).rest({30, 60}, 0.3).trace();
  CHECK_FALSE(own_way(resting, 0, resting.contacts[0].count - 1, {20, 60}, {30, 60}));
  const Trace row = SweepMaker(68, 142).stroke({{5, 60}, {35, 60}}).trace();
  CHECK_FALSE(own_way(row, 0, 3, {5, 60}, {9, 60}));
}

}  // namespace paneproof
