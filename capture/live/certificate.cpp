#include "capture/live/certificate.hpp"

#include <fcntl.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/rand.h>
#include <openssl/x509v3.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <memory>

#include "capture/bytes/atomic_file.hpp"
#include "capture/bytes/source.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr long day_s = 86400, valid_days = 397;  // more is refused by some browsers

using Key = std::unique_ptr<EVP_PKEY, void (*)(EVP_PKEY*)>;
using Paper = std::unique_ptr<X509, void (*)(X509*)>;
using Memory = std::unique_ptr<BIO, int (*)(BIO*)>;

[[noreturn]] void failed() {
  throw InputError("", "--tls", "expected a certificate that can be made", "check the system's OpenSSL",
                   Exit::software);
}

std::string text_of(const std::string& file) {
  std::string text;
  const auto source = open_source(file, {.largest_bytes = 1 << 16});
  for (auto block = source->read(); !block.empty(); block = source->read()) text += block;
  return text;
}

std::string text_of(BIO* memory) {
  char* bytes = nullptr;
  const long length = BIO_get_mem_data(memory, &bytes);
  return {bytes, static_cast<std::size_t>(length)};
}

std::string pem_of(EVP_PKEY* key) {
  const Memory out(BIO_new(BIO_s_mem()), BIO_free);
  if (!out || PEM_write_bio_PKCS8PrivateKey(out.get(), key, nullptr, nullptr, 0, nullptr, nullptr) != 1)
    failed();
  return text_of(out.get());
}

std::string pem_of(X509* paper) {
  const Memory out(BIO_new(BIO_s_mem()), BIO_free);
  if (!out || PEM_write_bio_X509(out.get(), paper) != 1) failed();
  return text_of(out.get());
}

// Never with any other mode than 0600.
void write_private(const std::string& file, const std::string& text) {
  const std::string beside = file + ".part";
  ::unlink(beside.c_str());
  const int fd = ::open(beside.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0600);
  const bool written = fd >= 0 &&
                       ::write(fd, text.data(), text.size()) == static_cast<ssize_t>(text.size()) &&
                       ::fsync(fd) == 0;
  const int why = errno;
  if (fd >= 0) ::close(fd);
  if (written && ::rename(beside.c_str(), file.c_str()) == 0) return;
  ::unlink(beside.c_str());
  throw InputError(file, "", std::string("cannot write: ") + std::strerror(why), "",
                   fd < 0 ? Exit::cannot_create : Exit::io_error);
}

Key bench_key(const std::string& file) {
  struct stat facts = {};
  if (::stat(file.c_str(), &facts) != 0) {
    Key made(EVP_EC_gen("P-256"), EVP_PKEY_free);
    if (!made) failed();
    write_private(file, pem_of(made.get()));
    return made;
  }
  if (facts.st_mode & 077)
    throw InputError(file, "", "expected a private key that only its owner can read (mode 0600)",
                     "remove it: another is made");
  const std::string pem = text_of(file);
  const Memory in(BIO_new_mem_buf(pem.data(), static_cast<int>(pem.size())), BIO_free);
  Key key(PEM_read_bio_PrivateKey(in.get(), nullptr, nullptr, nullptr), EVP_PKEY_free);
  if (!key) throw InputError(file, "", "expected a private key", "remove it: another is made");
  return key;
}

bool names_all(X509* paper, const std::vector<std::string>& addresses) {
  for (const std::string& address : addresses)
    if (X509_check_ip_asc(paper, address.c_str(), 0) != 1) return false;
  return true;
}

Paper kept_certificate(const std::string& file, EVP_PKEY* key, const std::vector<std::string>& addresses) {
  Paper none(nullptr, X509_free);
  if (::access(file.c_str(), F_OK) != 0) return none;
  const std::string pem = text_of(file);
  const Memory in(BIO_new_mem_buf(pem.data(), static_cast<int>(pem.size())), BIO_free);
  Paper paper(PEM_read_bio_X509(in.get(), nullptr, nullptr, nullptr), X509_free);
  std::time_t soon = std::time(nullptr) + day_s;
  const bool good = paper && X509_check_private_key(paper.get(), key) == 1 &&
                    X509_cmp_time(X509_get0_notAfter(paper.get()), &soon) > 0 &&
                    names_all(paper.get(), addresses);
  return good ? std::move(paper) : std::move(none);
}

void extend(X509* paper, int what, const std::string& value) {
  X509V3_CTX context;
  X509V3_set_ctx_nodb(&context);
  X509V3_set_ctx(&context, paper, paper, nullptr, nullptr, 0);
  X509_EXTENSION* extension = X509V3_EXT_conf_nid(nullptr, &context, what, value.c_str());
  const bool added = extension && X509_add_ext(paper, extension, -1) == 1;
  X509_EXTENSION_free(extension);
  if (!added) failed();
}

Paper make_certificate(EVP_PKEY* key, const std::vector<std::string>& addresses) {
  Paper paper(X509_new(), X509_free);
  unsigned char serial[8];
  if (!paper || RAND_bytes(serial, sizeof serial) != 1) failed();
  std::uint64_t number = 0;
  for (const unsigned char byte : serial) number = number << 8 | byte;
  X509_set_version(paper.get(), X509_VERSION_3);
  ASN1_INTEGER_set_uint64(X509_get_serialNumber(paper.get()), number >> 1);
  X509_gmtime_adj(X509_getm_notBefore(paper.get()), -day_s);  // clocks of devices are not always right
  X509_gmtime_adj(X509_getm_notAfter(paper.get()), valid_days * day_s);
  X509_set_pubkey(paper.get(), key);
  X509_NAME* name = X509_get_subject_name(paper.get());
  X509_NAME_add_entry_by_txt(name, "CN", MBSTRING_ASC,
                             reinterpret_cast<const unsigned char*>("paneproof bench"), -1, -1, 0);
  X509_set_issuer_name(paper.get(), name);
  std::string names = "IP:127.0.0.1,DNS:localhost";
  for (const std::string& address : addresses) names += ",IP:" + address;
  extend(paper.get(), NID_basic_constraints, "critical,CA:FALSE");
  extend(paper.get(), NID_ext_key_usage, "serverAuth");
  extend(paper.get(), NID_subject_alt_name, names);
  if (X509_sign(paper.get(), key, EVP_sha256()) == 0) failed();
  return paper;
}

std::string fingerprint_of(X509* paper) {
  unsigned char digest[EVP_MAX_MD_SIZE];
  unsigned length = 0;
  if (X509_digest(paper, EVP_sha256(), digest, &length) != 1) failed();
  std::string text;
  for (unsigned i = 0; i < length; ++i) {
    char pair[4];
    std::snprintf(pair, sizeof pair, i ? ":%02X" : "%02X", digest[i]);
    text += pair;
  }
  return text;
}

}  // namespace

Certificate bench_certificate(const std::string& folder, const std::vector<std::string>& addresses) {
  const Key key = bench_key(folder + "/sweep-key.pem");
  const std::string file = folder + "/sweep-certificate.pem";
  Certificate certificate;
  Paper paper = kept_certificate(file, key.get(), addresses);
  if (!paper) {
    paper = make_certificate(key.get(), addresses);
    write_file(file, pem_of(paper.get()));
    certificate.fresh = true;
  }
  certificate.key_pem = pem_of(key.get());
  certificate.certificate_pem = pem_of(paper.get());
  certificate.fingerprint = fingerprint_of(paper.get());
  return certificate;
}

}  // namespace paneproof
