#include "analyzer/cli/sweep/page_sweep.hpp"

#include <sys/resource.h>
#include <unistd.h>

#include <chrono>
#include <cstdio>
#include <memory>

#include "analyzer/cli/sweep/bench_terminal.hpp"
#include "analyzer/cli/sweep/judging.hpp"
#include "analyzer/ledger/store.hpp"
#include "analyzer/report/panel_picture.hpp"
#include "capture/live/board.hpp"
#include "capture/live/certificate.hpp"
#include "capture/live/qr.hpp"
#include "capture/live/server.hpp"
#include "capture/live/session.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

using Clock = std::chrono::steady_clock;
using std::chrono::milliseconds;

constexpr milliseconds tick{50};
constexpr milliseconds between_maps{200};
constexpr milliseconds quiet_before_verdict{100};  // a finger that hops from row to row is not done
constexpr milliseconds after_pass{8000};           // for the page to show it and offer the aim check
constexpr milliseconds after_stop{1500};           // for the page to hear of a Ctrl-C
constexpr milliseconds for_aim{90000};
constexpr milliseconds for_again{15 * 60 * 1000};  // an unfinished sweep is not kept open for ever

class PageSweep {
 public:
  explicit PageSweep(const SweepOptions& options)
      : options_(options), judging_(options), session_({options.keep, options.job}) {}

  int run() {
    stops_asked();
    serve();
    map();
    while (!over_) {
      const Board::Asked asked = board_.wait(tick);
      hear(asked);
      if (judged_at_)
        linger();
      else
        watch();
    }
    return end();
  }

 private:
  void serve() {
    ServerOptions server;
    server.lan = options_.lan;
    server.port = static_cast<std::uint16_t>(options_.port ? options_.port : session_.earlier_port());
    server.hosts = {"127.0.0.1", "localhost"};
    std::string host = "127.0.0.1";
    if (options_.lan) {
      const auto addresses = lan_addresses();
      if (addresses.empty())
        throw InputError("", "--lan", "expected a network, but this machine has no address on one",
                         "connect it, or leave --lan out", Exit::usage);
      host = addresses.front();
      server.hosts.insert(server.hosts.end(), addresses.begin(), addresses.end());
    }
    if (options_.tls) {
      make_folder(data_folder());
      certificate_ = bench_certificate(data_folder(), {server.hosts.begin() + 2, server.hosts.end()});
      server.key_pem = certificate_.key_pem;
      server.certificate_pem = certificate_.certificate_pem;
    }
    server_ = std::make_unique<LiveServer>(session_, board_, server);
    session_.serve_at(server_->port());
    // The server's thread, which runs by now, comes before this one: a chunk never waits for a map.
    (void)::setpriority(PRIO_PROCESS, static_cast<id_t>(::gettid()), 5);
    const std::string address = (options_.tls ? "https://" : "http://") + host + ":" +
                                std::to_string(server_->port()) + "/#" + session_.token();
    if (std::printf("%s\n", address.c_str()) < 0 || std::fflush(stdout) != 0)
      throw InputError("", "standard output", "expected to be able to write the page's address",
                       "check the pipe", Exit::io_error);
    std::fputs(qr_text(address, terminal_.colour()).c_str(), stderr);
    if (session_.continued())
      terminal_.say("Going on with the sweep of job " + options_.job + " that was stopped.");
    tell_exposure(server);
    terminal_.say(
        "Open the address on the device, sweep, and see both screens. The first device that opens it is the "
        "sweep's only one.");
    terminal_.say("Ctrl-C ends the sweep and judges it. The log is kept in " + printable(options_.keep) +
                  ".");
  }

  void tell_exposure(const ServerOptions& server) {
    if (!options_.lan) return;
    std::string at;
    for (std::size_t i = 2; i < server.hosts.size(); ++i) at += (at.empty() ? "" : ", ") + server.hosts[i];
    terminal_.say("Exposed: this sweep's page, to every device on the networks of " + at + ", port " +
                  std::to_string(server_->port()) +
                  ", until the sweep ends. Only who has the whole address can send or read the sweep.");
    if (options_.tls) return tell_certificate();
    terminal_.say(
        "Plain http: who listens on the network can read the address. The browser gives one point a "
        "displayed frame.");
  }

  void tell_certificate() {
    terminal_.say(
        std::string(certificate_.fresh ? "New certificate of this bench" : "Certificate of this bench") +
        ", SHA-256:\n  " + certificate_.fingerprint);
    terminal_.say(
        "The device's browser warns once, as nobody else vouches for it: go on only if it shows this "
        "fingerprint.");
  }

  void hear(const Board::Asked& asked) {
    if (asked.stored) dirty_ = true, stored_at_ = Clock::now();
    lifted_ |= asked.lifted;
    if (asked.done && judged_at_) over_ = true;
    if (asked.verdict && !judged_at_) settle(for_again);
    if (asked.again && judged_at_ && outcome_ != Outcome::pass) {
      judged_at_.reset();
      board_.show([](Board::Shown& shown) { shown.stage = Stage::sweeping; });
      terminal_.say("The device sweeps again.");
    }
    if (asked.aim && judged_at_) aim(asked.aim_points);
    if (stops_asked() > 0 && !stopping_) {
      stopping_ = true;
      if (judged_at_)
        over_ = true;
      else
        settle(after_stop);
      until_ = Clock::now() + after_stop;
    }
    if (stops_asked() > 1) over_ = true;
  }

  // Begun (no touches yet), or all five touched.
  void aim(const std::string& points) {
    until_ = std::max(until_, Clock::now() + for_aim);
    const auto words = aim_words(points);
    if (!words) return;
    terminal_.say(*words);
    board_.show([&](Board::Shown& shown) { shown.aim = json_string(*words); });
    if (outcome_ == Outcome::pass) until_ = Clock::now() + after_pass;
  }

  // Draws what is proven so far, and ends by itself when everything is settled.
  void watch() {
    const auto now = Clock::now();
    if (dirty_ && (lifted_ || now - mapped_at_ >= between_maps)) map();
    if (passes_ && !dirty_ && now - stored_at_ >= quiet_before_verdict) settle(after_pass);
  }

  void map() {
    dirty_ = lifted_ = false;
    judged_ = judging_.judge();
    mapped_at_ = Clock::now();
    const std::string cells = judging_.map_json(judged_);
    board_.show([&](Board::Shown& shown) { shown.cells = cells; });
    passes_ = judged_ && judged_->verdict.outcome == Outcome::pass && !judged_->finger_down;
    if (judged_) terminal_.draw(*judged_);
  }

  void settle(milliseconds linger) {
    board_.show([](Board::Shown& shown) { shown.stage = Stage::judging; });
    if (dirty_ || !judged_) judged_ = judging_.judge();  // else the last map was made of all there is
    dirty_ = false;
    if (!judged_)
      throw InputError(options_.keep, "",
                       "expected a sweep, but nothing was swept and the panel's size is not known",
                       "sweep, or give --panel");
    const CheckResult result = judging_.result(*judged_);
    outcome_ = judged_->verdict.outcome;
    const std::string verdict = judging_.verdict_json(*judged_, ++verdicts_),
                      cells = judging_.map_json(judged_), picture = pocket_svg(result);
    board_.show([&](Board::Shown& shown) {
      shown.stage = Stage::judged;
      shown.verdict = verdict;
      shown.cells = cells;
      shown.picture = picture;
    });
    terminal_.verdict(result);
    if (judged_->limited && judged_->findings.reports > 0)
      terminal_.say("Report rate: limited by the browser; no missed report is charged to the panel.");
    passes_ = false;
    judged_at_ = Clock::now();
    until_ = Clock::now() + (outcome_ == Outcome::pass ? std::min(linger, after_pass) : linger);
    if (outcome_ != Outcome::pass && !stopping_)
      terminal_.say("The device may sweep again; Done on its page, or Ctrl-C here, ends it.");
  }

  void linger() {
    if (Clock::now() >= until_) over_ = true;
  }

  // What was under way when the verdict was made is in the log: the result is that of the whole log.
  void last_points() {
    dirty_ |= board_.wait(milliseconds(0)).stored;
    if (!dirty_) return;
    const auto whole = judging_.judge();
    if (!whole) return;
    judged_ = whole;
    if (judged_->verdict.outcome == outcome_) return;
    outcome_ = judged_->verdict.outcome;
    terminal_.say("Points that came after the verdict change it:");
    terminal_.verdict(judging_.result(*judged_));
  }

  int end() {
    board_.show([](Board::Shown& shown) { shown.stage = Stage::over; });
    session_.close();
    server_.reset();
    last_points();
    judging_.write(*judged_);
    if (session_.bytes() == 0) ::unlink(options_.keep.c_str());
    return static_cast<int>(outcome_);
  }

  const SweepOptions& options_;
  Judging judging_;
  Session session_;
  Board board_;
  Certificate certificate_;
  std::unique_ptr<LiveServer> server_;
  BenchTerminal terminal_;
  std::optional<Judged> judged_;
  Outcome outcome_ = Outcome::resweep;
  std::optional<Clock::time_point> judged_at_;
  Clock::time_point mapped_at_, stored_at_, until_;
  int verdicts_ = 0;
  bool dirty_ = false, lifted_ = false, passes_ = false, over_ = false, stopping_ = false;
};

}  // namespace

int run_page_sweep(const SweepOptions& options) { return PageSweep(options).run(); }

}  // namespace paneproof
