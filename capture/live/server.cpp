#include "capture/live/server.hpp"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <microhttpd.h>
#include <net/if.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <sys/resource.h>
#include <sys/socket.h>

#include <algorithm>
#include <charconv>
#include <cstring>
#include <optional>
#include <thread>

#include "capture/live/answers.hpp"
#include "capture/live/chunk.hpp"
#include "capture/live/connections.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr std::size_t largest_aim_bytes = 4096;
constexpr std::size_t memory_a_connection = 16 * 1024;

// One request while it arrives.
struct Request {
  std::string body;
  std::optional<Reply> refused;  // known before the body came
  bool begun = false;
};

// Many silent connections must not use up the descriptors of this process.
void allow_descriptors() {
  rlimit limit = {};
  if (::getrlimit(RLIMIT_NOFILE, &limit) != 0) return;
  const rlim_t wanted = most_connections + 200;
  if (limit.rlim_cur >= wanted) return;
  limit.rlim_cur = std::min(wanted, limit.rlim_max);
  (void)::setrlimit(RLIMIT_NOFILE, &limit);
}

std::size_t affordable_connections() {
  rlimit limit = {};
  if (::getrlimit(RLIMIT_NOFILE, &limit) != 0 || limit.rlim_cur >= most_connections + 100)
    return most_connections;
  return limit.rlim_cur > 164 ? limit.rlim_cur - 100 : 64;
}

}  // namespace

class LiveServer::Impl {
 public:
  Impl(Session& session, Board& board, const ServerOptions& options)
      : session_(session),
        answers_(session, board),
        options_(options),
        room_((allow_descriptors(), affordable_connections())),
        connections_(room_ - room_ / 10) {
    start();
  }
  ~Impl() {
    late_.request_stop();
    late_.join();
    MHD_stop_daemon(daemon_);
  }

  std::uint16_t port_ = 0;

 private:
  void start() {
    sockaddr_in address = {};
    address.sin_family = AF_INET;
    address.sin_port = htons(options_.port);
    address.sin_addr.s_addr = htonl(options_.lan ? INADDR_ANY : INADDR_LOOPBACK);
    const bool tls = !options_.key_pem.empty();
    const unsigned flags = MHD_USE_EPOLL_INTERNAL_THREAD | (tls ? static_cast<unsigned>(MHD_USE_TLS) : 0U);
    scheme_ = tls ? "https://" : "http://";
    std::vector<MHD_OptionItem> items = {
        {MHD_OPTION_SOCK_ADDR, 0, &address},
        {MHD_OPTION_NOTIFY_CONNECTION, reinterpret_cast<intptr_t>(&on_connection), this},
        {MHD_OPTION_NOTIFY_COMPLETED, reinterpret_cast<intptr_t>(&on_completed), this},
        {MHD_OPTION_UNESCAPE_CALLBACK, reinterpret_cast<intptr_t>(&as_it_is), nullptr},
        {MHD_OPTION_CONNECTION_LIMIT, static_cast<intptr_t>(room_), nullptr},
        {MHD_OPTION_CONNECTION_MEMORY_LIMIT, static_cast<intptr_t>(memory_a_connection), nullptr},
        {MHD_OPTION_CONNECTION_TIMEOUT, request_deadline_s + 5, nullptr},
        {MHD_OPTION_LISTENING_ADDRESS_REUSE, 1, nullptr},
        {MHD_OPTION_LISTEN_BACKLOG_SIZE, 1024, nullptr},
    };
    if (tls) {
      items.push_back({MHD_OPTION_HTTPS_MEM_KEY, 0, options_.key_pem.data()});
      items.push_back({MHD_OPTION_HTTPS_MEM_CERT, 0, options_.certificate_pem.data()});
    }
    items.push_back({MHD_OPTION_END, 0, nullptr});
    daemon_ = MHD_start_daemon(flags, 0, nullptr, nullptr, &on_request, this, MHD_OPTION_ARRAY, items.data(),
                               MHD_OPTION_END);
    if (!daemon_)
      throw InputError("", "--port " + std::to_string(options_.port), "expected a port that is free",
                       "stop what uses it, or leave --port out", Exit::cannot_create);
    const MHD_DaemonInfo* info = MHD_get_daemon_info(daemon_, MHD_DAEMON_INFO_BIND_PORT);
    port_ = info ? info->port : options_.port;
    // Apart from whoever judges the sweep: deadlines hold however busy that is.
    late_ = std::jthread([this](std::stop_token stop) {
      for (; !stop.stop_requested(); std::this_thread::sleep_for(std::chrono::milliseconds(200)))
        connections_.end_late(std::chrono::seconds(request_deadline_s));
    });
  }

  // No path of ours holds an escape: one that does is unknown, whatever it would decode to.
  static std::size_t as_it_is(void*, MHD_Connection*, char* text) { return std::strlen(text); }

  static int socket_of(MHD_Connection* connection) {
    const MHD_ConnectionInfo* info = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);
    return info ? info->connect_fd : -1;
  }

  static void on_connection(void* self, MHD_Connection* connection, void**,
                            MHD_ConnectionNotificationCode code) {
    auto& impl = *static_cast<Impl*>(self);
    const int socket = socket_of(connection);
    if (code == MHD_CONNECTION_NOTIFY_CLOSED) return impl.connections_.closed(socket);
    const int on = 1;
    (void)::setsockopt(socket, IPPROTO_TCP, TCP_NODELAY, &on, sizeof on);
    impl.connections_.opened(socket);
  }

  static void on_completed(void* self, MHD_Connection* connection, void** context,
                           MHD_RequestTerminationCode) {
    delete static_cast<Request*>(*context);
    *context = nullptr;
    static_cast<Impl*>(self)->connections_.answered(socket_of(connection));
  }

  // Nothing that the requests do may reach the library as an exception.
  static MHD_Result on_request(void* self, MHD_Connection* connection, const char* path, const char* method,
                               const char*, const char* data, std::size_t* size, void** context) {
    try {
      return static_cast<Impl*>(self)->handle(connection, path, method, data, size, context);
    } catch (const std::exception&) {
      return MHD_NO;
    }
  }

  MHD_Result handle(MHD_Connection* connection, std::string_view path, std::string_view method,
                    const char* data, std::size_t* size, void** context) {
    if (!*context) {
      auto request = std::make_unique<Request>();
      request->refused = refused_at_sight(connection, path, method);
      *context = request.release();
      auto& known = *static_cast<Request*>(*context);
      // Answered before the body: nobody's megabytes are waited for.
      if (known.refused) return reply(connection, *known.refused, true);
      return MHD_YES;
    }
    auto& request = *static_cast<Request*>(*context);
    if (*size > 0) {
      const std::size_t most = path == "/sweep/chunk" ? largest_chunk_bytes : largest_aim_bytes;
      if (request.body.size() + *size > most) return MHD_NO;  // chunked and without end: closed
      request.body.append(data, *size);
      *size = 0;
      return MHD_YES;
    }
    return reply(connection, answers_.to(path, header(connection, "Paneproof-Chunk"), request.body), false);
  }

  static std::string_view header(MHD_Connection* connection, const char* name) {
    const char* value = MHD_lookup_connection_value(connection, MHD_HEADER_KIND, name);
    return value ? value : std::string_view();
  }

  bool advertised(std::string_view host) const {
    const std::string port = ":" + std::to_string(port_);
    for (const std::string& name : options_.hosts)
      if (host == name + port) return true;
    return false;
  }

  static int count_of(MHD_Connection* connection, const char* name) {
    struct Count {
      const char* name;
      int n = 0;
    } count{name};
    MHD_get_connection_values(
        connection, MHD_HEADER_KIND,
        [](void* c, MHD_ValueKind, const char* key, const char*) {
          auto& counted = *static_cast<Count*>(c);
          if (::strcasecmp(key, counted.name) == 0) ++counted.n;
          return MHD_YES;
        },
        &count);
    return count.n;
  }

  std::optional<Reply> refused_at_sight(MHD_Connection* connection, std::string_view path,
                                        std::string_view method) {
    if (count_of(connection, "Host") != 1 || !advertised(header(connection, "Host")))
      return refusal(421, "host");
    const std::string_view origin = header(connection, "Origin");
    if (!origin.empty() && origin != scheme_ + std::string(header(connection, "Host")))
      return refusal(403, "origin");
    const bool ours = path.substr(0, 7) == "/sweep/";
    const std::string_view site = header(connection, "Sec-Fetch-Site");
    const bool from_elsewhere = !site.empty() && site != "same-origin" && site != "none";
    if (from_elsewhere && (ours || header(connection, "Sec-Fetch-Dest") != "document"))
      return refusal(403, "site");
    if (!ours) {
      const bool page = path == "/" || path == "/sweep.js" || path == "/sweep.css";
      if (!page) return refusal(404, "unknown");
      if (method != "GET" && method != "HEAD") return refusal(405, "method");
      return std::nullopt;
    }
    return refused_for_token(connection, path, method);
  }

  std::optional<Reply> refused_for_token(MHD_Connection* connection, std::string_view path,
                                         std::string_view method) {
    const bool reads = path == "/sweep/state" || path == "/sweep/picture";
    const bool writes = path == "/sweep/chunk" || path == "/sweep/verdict" || path == "/sweep/again" ||
                        path == "/sweep/done" || path == "/sweep/aim";
    if (!reads && !writes) return refusal(404, "unknown");
    if (method != (reads ? "GET" : "POST")) return refusal(405, "method");
    switch (session_.admit(header(connection, "Paneproof-Token"), header(connection, "Paneproof-Device"))) {
      case Admission::wrong_token:
        return refusal(401, "token");
      case Admission::other_device:
        return refusal(403, "device");
      case Admission::over:
        return refusal(410, "over");
      case Admission::welcome:
        break;
    }
    connections_.trusted(socket_of(connection));
    if (!writes) return std::nullopt;
    if (path == "/sweep/chunk" && header(connection, "Content-Type").substr(0, 20) != "application/x-ndjson")
      return refusal(415, "type");
    const std::string_view length = header(connection, "Content-Length");
    std::uint64_t bytes = 0;
    const auto [end, error] = std::from_chars(length.data(), length.data() + length.size(), bytes);
    if (!length.empty() && (error != std::errc() || end != length.data() + length.size()))
      return refusal(400, "length");
    if (bytes > (path == "/sweep/chunk" ? largest_chunk_bytes : largest_aim_bytes))
      return refusal(413, "size");
    return std::nullopt;
  }

  static MHD_Result reply(MHD_Connection* connection, const Reply& given, bool close) {
    MHD_Response* response = MHD_create_response_from_buffer(
        given.body.size(), const_cast<char*>(given.body.data()), MHD_RESPMEM_MUST_COPY);
    if (!response) return MHD_NO;
    const std::pair<const char*, const char*> headers[] = {
        {"Content-Type", given.type.c_str()},
        {"Content-Security-Policy",
         "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src blob: data:; "
         "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"},
        {"X-Content-Type-Options", "nosniff"},
        {"X-Frame-Options", "DENY"},
        {"Referrer-Policy", "no-referrer"},
        {"Cache-Control", "no-store"},
        {"Cross-Origin-Opener-Policy", "same-origin"},
        {"Cross-Origin-Resource-Policy", "same-origin"},
        {"Permissions-Policy", "camera=(), microphone=(), geolocation=()"},
    };
    for (const auto& [name, value] : headers) MHD_add_response_header(response, name, value);
    if (close) MHD_add_response_header(response, "Connection", "close");
    if (given.status == 405) MHD_add_response_header(response, "Allow", "GET, POST");
    const MHD_Result queued = MHD_queue_response(connection, given.status, response);
    MHD_destroy_response(response);
    return queued;
  }

  Session& session_;
  Answers answers_;
  ServerOptions options_;
  std::string scheme_;
  std::size_t room_;
  Connections connections_;
  MHD_Daemon* daemon_ = nullptr;
  std::jthread late_;
};

LiveServer::LiveServer(Session& session, Board& board, const ServerOptions& options)
    : impl_(std::make_unique<Impl>(session, board, options)) {}
LiveServer::~LiveServer() = default;
std::uint16_t LiveServer::port() const { return impl_->port_; }

std::vector<std::string> lan_addresses() {
  std::vector<std::string> found;
  ifaddrs* all = nullptr;
  if (::getifaddrs(&all) != 0) return found;
  for (const ifaddrs* at = all; at; at = at->ifa_next) {
    if (!at->ifa_addr || at->ifa_addr->sa_family != AF_INET) continue;
    if (!(at->ifa_flags & IFF_UP) || (at->ifa_flags & (IFF_LOOPBACK | IFF_POINTOPOINT))) continue;
    char text[INET_ADDRSTRLEN] = {};
    const auto* address = reinterpret_cast<const sockaddr_in*>(at->ifa_addr);
    if (::inet_ntop(AF_INET, &address->sin_addr, text, sizeof text)) found.push_back(text);
  }
  ::freeifaddrs(all);
  return found;
}

}  // namespace paneproof
