% Makes phrases-lilypond.jsonl: where LilyPond puts 200 phrases of eight notes on
% tablature when left alone, each followed by itself in another key: sixteen beats a
% phrase. The fretboard tests move the first eight and hold their way against the
% others.
%
%   lilypond -dno-print-pages --loglevel=WARN phrases-lilypond.ly > phrases-lilypond.jsonl
%
% The phrases are steps and leaps drawn by a small generator, our own; every fourth
% has two notes at once here and there.

\version "2.24.0"

#(define state 20261130)
#(define (draw n)
   (set! state (modulo (+ (* state 1103515245) 12345) 2147483648))
   (modulo (quotient state 65536) n))

#(define (semitones->pitch n) (ly:make-pitch 0 0 (/ (- n 60) 2)))

#(define (say-place engraver grob source)
   (let* ((cause (ly:grob-property grob 'cause))
          (pos (ly:grob-property grob 'staff-position)))
     (format #t "{\"beat\":~a,\"midi\":~a,\"string\":~a,\"fret\":~a}\n"
       (* 4 (ly:moment-main (ly:context-current-moment (ly:translator-context engraver))))
       (+ 60 (ly:pitch-semitones (ly:event-property cause 'pitch)))
       (+ 1 (/ (- 5 pos) 2))
       (string-trim-both (markup->string (ly:grob-property grob 'text))))))

#(define (note midi)
   (make-music 'NoteEvent 'pitch (semitones->pitch midi) 'duration (ly:make-duration 2)))

#(define (chord midis)
   (make-music 'EventChord 'elements (map note midis)))

#(define (phrase two)
   (let loop ((i 0) (midi (+ 48 (draw 22))) (all '()))
     (if (= i 8) (reverse all)
       (loop (+ i 1)
             (max 47 (min 74 (+ midi (- (draw 11) 5))))
             (cons (if (and two (= 0 (draw 3))) (list midi (+ midi 3 (draw 6))) (list midi)) all)))))

#(define (up by events) (map (lambda (e) (map (lambda (m) (+ m by)) e)) events))

phrases =
#(make-music 'SequentialMusic 'elements
   (append-map
     (lambda (i)
       (let ((p (phrase (= 3 (modulo i 4)))) (by (- (draw 12) 5)))
         (map chord (append p (up by p)))))
     (iota 200)))

\score {
  \new TabStaff \with {
    \consists #(lambda (context) (make-engraver
      (acknowledgers ((tab-note-head-interface engraver grob source)
        (say-place engraver grob source)))
      ((finalize engraver) (force-output) (primitive-_exit 0)))) % the page is of no interest
  } \phrases
  \layout { }
}
