#include "engine/text/sha256.h"

#include <fmt/format.h>
#include <nettle/sha2.h>

#include <array>
#include <cstdint>

namespace gearwhy {

std::string Sha256Hex(std::string_view bytes) {
  sha256_ctx context;
  sha256_init(&context);
  sha256_update(&context, bytes.size(), reinterpret_cast<const std::uint8_t*>(bytes.data()));
  std::array<std::uint8_t, SHA256_DIGEST_SIZE> digest;
  sha256_digest(&context, digest.size(), digest.data());
  std::string hex;
  for (const std::uint8_t byte : digest) hex += fmt::format("{:02x}", byte);
  return hex;
}

}  // namespace gearwhy
