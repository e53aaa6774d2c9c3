#pragma once

#include <cmath>
#include <cstddef>
#include <exception>
#include <new>
#include <optional>
#include <span>
#include <string>
#include <type_traits>

#include <vlm/base/error.hpp>
#include <vlm/base/vec3.hpp>
#include <vlm/vlm.h>

// What every function of the C interface does at its border: arguments are checked, exceptions become a
// status and a message.

namespace vlm::c {

/// An argument that was refused before the library saw it.
struct Refusal {
  vlm_status status;
  std::string message;
};

/// Keeps the message of a call for its thread. Never throws, and cuts what is too long.
void keep_message(const char* function, const char* text) noexcept;
void clear_message() noexcept;

/// Runs the body of a function. A body that returns a status hands it on; of all else that it returns or
/// throws, guarded makes one.
template <class Body>
vlm_status guarded(const char* function, const Body& body) noexcept {
  const auto failed = [&](vlm_status status, const char* text) {
    keep_message(function, text);
    return status;
  };
  try {
    clear_message();
    if constexpr (std::is_void_v<decltype(body())>) {
      body();
      return VLM_OK;
    } else {
      const vlm_status status = body();
      if (status != VLM_OK)
        keep_message(function, vlm_status_text(status));
      return status;
    }
  } catch (const Refusal& e) {
    return failed(e.status, e.message.c_str());
  } catch (const Error& e) {
    return failed(e.kind() == ErrorKind::input ? VLM_ERROR_INPUT : VLM_ERROR_RUN, e.what());
  } catch (const std::bad_alloc&) {
    return failed(VLM_ERROR_MEMORY, vlm_status_text(VLM_ERROR_MEMORY));
  } catch (const std::exception& e) {
    return failed(VLM_ERROR_INTERNAL, e.what());
  } catch (...) {
    return failed(VLM_ERROR_INTERNAL, vlm_status_text(VLM_ERROR_INTERNAL));
  }
}

/// What a pointer points to. name: of the argument.
template <class T>
T& at(T* pointer, const char* name) {
  if (pointer == nullptr)
    throw Refusal{VLM_ERROR_NULL, std::string(name) + ": found null, wanted a pointer"};
  return *pointer;
}

/// Refuses an array that is null, unless it is empty.
template <class T>
std::span<T> array(T* pointer, std::size_t count, const char* name) {
  if (count > 0)
    at(pointer, name);
  return {pointer, count};
}

/// The same of one that must have a certain length.
template <class T>
std::span<T> array_of(std::size_t wanted, T* pointer, std::size_t count, const char* name) {
  if (count != wanted)
    throw Refusal{VLM_ERROR_LENGTH, std::string(name) + ": found a length of " + std::to_string(count) +
                                        ", wanted " + std::to_string(wanted)};
  return array(pointer, count, name);
}

/// Refuses a place that is not in a list.
inline std::size_t index_of(std::size_t index, std::size_t count, const char* name) {
  if (index >= count)
    throw Refusal{VLM_ERROR_ARGUMENT,
                  std::string(name) + ": found " + std::to_string(index) + ", wanted " +
                      (count == 0 ? "none: there are none yet" : "0 to " + std::to_string(count - 1))};
  return index;
}

/// Refuses a number that is not of an enumeration of constants from 0.
inline int choice_of(int value, int count, const char* name) {
  if (value < 0 || value >= count)
    throw Refusal{VLM_ERROR_ARGUMENT, std::string(name) + ": found " + std::to_string(value) +
                                          ", wanted a constant from 0 to " + std::to_string(count - 1)};
  return value;
}

inline double finite(double value, const char* name) {
  if (!std::isfinite(value))
    throw Refusal{VLM_ERROR_ARGUMENT, std::string(name) + ": found no finite number, wanted one"};
  return value;
}

inline std::optional<double> optional_of(const vlm_figure& figure, const char* name) {
  return figure.defined != 0 ? std::optional(finite(figure.value, name)) : std::nullopt;
}

inline std::optional<double> optional_of(const double* number, const char* name) {
  return number != nullptr ? std::optional(finite(*number, name)) : std::nullopt;
}

/// A figure on its way out. Throws Error (run) if it is not finite: what is asked for at the far end of the
/// numbers overflows within.
inline double sound(double value) {
  if (!std::isfinite(value))
    throw Error("found a figure that is not finite among the results, wanted speeds, angles, rates, lengths "
                "and points of such a size as crafts have",
                ErrorKind::run);
  return value;
}

inline vlm_figure figure_of(const std::optional<double>& value) {
  return {sound(value.value_or(0)), value ? 1 : 0};
}

/// Fills an array with make(i), i counted from 0. Makes all twice, so that nothing is changed if one throws.
template <class T, class Make>
void fill(std::span<T> array, const Make& make) {
  for (std::size_t i = 0; i < array.size(); ++i)
    static_cast<void>(make(i));
  for (std::size_t i = 0; i < array.size(); ++i)
    array[i] = make(i);
}

inline Vec3 vector_of(const double* numbers, const char* name) {
  return {finite(numbers[0], name), finite(numbers[1], name), finite(numbers[2], name)};
}

/// Hands out a new handle; what becomes of an old one is the caller's business.
template <class Handle>
Handle*& result_of(Handle** result) {
  Handle*& slot = at(result, "result");
  slot = nullptr;
  return slot;
}

template <class Handle>
vlm_status free_handle(const char* function, Handle** handle) noexcept {
  return guarded(function, [&] {
    Handle*& slot = at(handle, "handle");
    delete slot;
    slot = nullptr;
  });
}

} // namespace vlm::c
