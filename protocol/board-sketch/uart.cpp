#include "uart.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>

#include "config.h"
#include "requests.h"

namespace uart {

// Powers of two.
static constexpr uint8_t OUT_BYTES = 64;
static constexpr uint8_t IN_BYTES = 64;

// At 16 MHz 115200 comes out 2.1 % fast, which a receiver bears.
static constexpr uint16_t DIVIDER = (F_CPU + 4 * BAUD) / (8 * BAUD) - 1;

static volatile uint8_t out[OUT_BYTES];
static volatile uint8_t outHead;
static volatile uint8_t outTail;
static volatile uint8_t in[IN_BYTES];
static volatile uint8_t inHead;
static volatile uint8_t inTail;

ISR(USART_RX_vect) {
  const uint8_t byte = UDR0;
  const uint8_t after = (inHead + 1) % IN_BYTES;
  if (after == inTail) return;
  in[inHead] = byte;
  inHead = after;
}

ISR(USART_UDRE_vect) {
  const uint8_t tail = outTail;
  UDR0 = out[tail];
  const uint8_t after = (tail + 1) % OUT_BYTES;
  outTail = after;
  if (after == outHead) UCSR0B &= ~_BV(UDRIE0);
}

void begin() {
  UCSR0A = _BV(U2X0);
  UBRR0 = DIVIDER;
  UCSR0C = _BV(UCSZ01) | _BV(UCSZ00);
  UCSR0B = _BV(RXCIE0) | _BV(RXEN0) | _BV(TXEN0);
}

void put(uint8_t byte) {
  const uint8_t after = (outHead + 1) % OUT_BYTES;
  while (after == outTail) {
    requests::hear();
    cli();
    if (after == outTail) {
      sleep_enable();
      sei();
      sleep_cpu();
      sleep_disable();
    }
    sei();
  }
  out[outHead] = byte;
  cli();
  outHead = after;
  UCSR0B |= _BV(UDRIE0);
  sei();
}

bool isIdle() { return outHead == outTail; }

int16_t take() {
  if (inHead == inTail) return -1;
  const uint8_t byte = in[inTail];
  inTail = (inTail + 1) % IN_BYTES;
  return byte;
}

bool hasInput() { return inHead != inTail; }

}  // namespace uart
