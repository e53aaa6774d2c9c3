#include <vlm/base/memory.hpp>

#include <cstdint>
#include <cstdio>
#include <fstream>
#include <string>

#include <sys/mman.h>
#include <unistd.h>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

// Bytes; below 0 if the system does not tell.
double free_memory() {
  std::ifstream file("/proc/meminfo");
  std::string name;
  for (double kibibytes = 0; file >> name >> kibibytes; file.ignore(100, '\n'))
    if (name == "MemAvailable:")
      return 1024 * kibibytes;
  const long pages = sysconf(_SC_PHYS_PAGES), page_size = sysconf(_SC_PAGE_SIZE);
  return pages < 0 || page_size < 0 ? -1 : static_cast<double>(pages) * static_cast<double>(page_size);
}

std::string whole(double bytes) {
  const std::string text = std::to_string(bytes);
  return text.substr(0, text.find('.'));
}

} // namespace

void check_memory(std::size_t num_unknowns, double num_bytes) {
  const double free = free_memory();
  if (free >= 0 && num_bytes > free)
    throw Error("the lattice has " + std::to_string(num_unknowns) + " unknowns, which take " +
                whole(num_bytes) + " bytes; this machine has " + whole(free) +
                " free: use fewer strips or panels per strip");
}

void prefer_huge_pages(void* memory, std::size_t num_bytes) {
#ifdef MADV_HUGEPAGE
  const long page_size = sysconf(_SC_PAGE_SIZE);
  if (page_size <= 0)
    return;
  // Whole pages within; a refusal does no harm.
  const auto page = static_cast<std::uintptr_t>(page_size), first = reinterpret_cast<std::uintptr_t>(memory);
  const std::uintptr_t from = (first + page - 1) / page * page, to = (first + num_bytes) / page * page;
  if (from < to)
    madvise(reinterpret_cast<void*>(from), to - from, MADV_HUGEPAGE);
#endif
}

} // namespace vlm
