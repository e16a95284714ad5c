#pragma once
/// One thread puts in, one thread takes out, nobody waits for anybody.

#include <atomic>
#include <cstddef>
#include <memory>
#include <vector>

namespace leeward::daemon {

/// Items are owned pointers, so that an empty queue costs next to nothing. The reader may look at items
/// without taking them: what is not yet safe on disk stays in the queue.
template <class T>
class BoundedQueue {
 public:
  explicit BoundedQueue(std::size_t capacity) : slots_(capacity + 1) {}

  /// Writer's side. @returns false when full; the item is then lost to the caller's count
  [[nodiscard]] bool push(std::unique_ptr<T> item) {
    const std::size_t tail = tail_.load(std::memory_order_relaxed);
    const std::size_t next = following(tail, 1);
    if (next == head_.load(std::memory_order_acquire)) return false;
    slots_[tail] = std::move(item);
    tail_.store(next, std::memory_order_release);
    return true;
  }

  /// Any thread; a snapshot.
  [[nodiscard]] std::size_t size() const {
    const std::size_t head = head_.load(std::memory_order_acquire);
    const std::size_t tail = tail_.load(std::memory_order_acquire);
    return tail >= head ? tail - head : tail + slots_.size() - head;
  }
  [[nodiscard]] std::size_t capacity() const { return slots_.size() - 1; }

  /// Reader's side. Range   i below size()
  [[nodiscard]] const T& peek(std::size_t i) const {
    return *slots_[following(head_.load(std::memory_order_relaxed), i)];
  }
  /// Reader's side: takes the first n away. Range   n at most size()
  void drop_front(std::size_t n) {
    std::size_t head = head_.load(std::memory_order_relaxed);
    for (std::size_t i = 0; i < n; ++i) {
      slots_[head].reset();
      head = following(head, 1);
    }
    head_.store(head, std::memory_order_release);
  }

 private:
  [[nodiscard]] std::size_t following(std::size_t at, std::size_t n) const {
    return (at + n) % slots_.size();
  }
  std::vector<std::unique_ptr<T>> slots_;
  std::atomic<std::size_t> head_ = 0;
  std::atomic<std::size_t> tail_ = 0;
};

}  // namespace leeward::daemon
