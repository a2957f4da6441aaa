#include "engine/text/build_id.h"

#include <elf.h>
#include <fmt/format.h>
#include <link.h>

#include <cstddef>
#include <cstdint>
#include <cstring>
#include <span>
#include <string_view>

namespace gearwhy {
namespace {

using Bytes = std::span<const unsigned char>;

struct Search {
  std::uintptr_t here = 0;  // an address in what is asked about
  std::string id;
};

Bytes Segment(const dl_phdr_info& object, const ElfW(Phdr) & header) {
  return {reinterpret_cast<const unsigned char*>(object.dlpi_addr + header.p_vaddr), header.p_memsz};
}

bool Holds(const dl_phdr_info& object, std::uintptr_t address) {
  for (const ElfW(Phdr) & header : std::span(object.dlpi_phdr, object.dlpi_phnum)) {
    const std::uintptr_t begin = object.dlpi_addr + header.p_vaddr;
    if (header.p_type == PT_LOAD && address >= begin && address - begin < header.p_memsz) return true;
  }
  return false;
}

// Notes stand one behind the other: a header, a name and a value, each filled up to a multiple of four.
std::string IdAmong(Bytes notes) {
  const auto filled = [](std::size_t size) { return (size + 3) / 4 * 4; };
  ElfW(Nhdr) header;
  while (notes.size() >= sizeof header) {
    std::memcpy(&header, notes.data(), sizeof header);
    notes = notes.subspan(sizeof header);
    const std::size_t name_size = filled(header.n_namesz), size = filled(header.n_descsz);
    if (name_size > notes.size() || size > notes.size() - name_size) break;
    const std::string_view name(reinterpret_cast<const char*>(notes.data()), header.n_namesz);
    if (header.n_type == NT_GNU_BUILD_ID && name == std::string_view("GNU", 4)) {
      std::string id;
      for (const unsigned char byte : notes.subspan(name_size, header.n_descsz))
        id += fmt::format("{:02x}", byte);
      return id;
    }
    notes = notes.subspan(name_size + size);
  }
  return "";
}

int Look(dl_phdr_info* object, std::size_t, void* data) {
  Search& search = *static_cast<Search*>(data);
  if (!Holds(*object, search.here)) return 0;
  for (const ElfW(Phdr) & header : std::span(object->dlpi_phdr, object->dlpi_phnum)) {
    if (header.p_type == PT_NOTE && search.id.empty()) search.id = IdAmong(Segment(*object, header));
  }
  return 1;
}

}  // namespace

std::string BuildId() {
  Search search = {reinterpret_cast<std::uintptr_t>(&BuildId), ""};
  ::dl_iterate_phdr(Look, &search);
  return search.id;
}

}  // namespace gearwhy
