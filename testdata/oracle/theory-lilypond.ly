% Makes theory-lilypond.jsonl: what LilyPond says about key signatures, the
% transposition of a phrase, chord mode and note names. The theory tests hold
% our own answers against it.
%
%   lilypond -dno-print-pages --loglevel=WARN theory-lilypond.ly > theory-lilypond.jsonl
%
% One JSON object a line. Notes are written letter, accidentals, octave, with
% C4 as middle C.

\version "2.24.0"

#(define (note->string p)
  (let ((alter (inexact->exact (* 2 (ly:pitch-alteration p)))))
   (string-append
    (list-ref '("C" "D" "E" "F" "G" "A" "B") (ly:pitch-notename p))
    (if (< alter 0) (make-string (- alter) #\b) (make-string alter #\#)))))

#(define (pitch->string p)
  (string-append (note->string p) (number->string (+ 4 (ly:pitch-octave p)))))

#(define (words strings) (string-join strings " "))

#(define (key-pitches alist)
  (words (map (lambda (entry) (note->string (ly:make-pitch 0 (car entry) (cdr entry)))) alist)))

% LilyPond's octave 0 starts on middle C, its letters count from C.
#(define majors
  (list (cons 0 0) (cons 1 0) (cons 2 0) (cons 3 0) (cons 4 0) (cons 5 0) (cons 6 0)
        (cons 3 1/2) (cons 0 1/2) (cons 6 -1/2) (cons 2 -1/2) (cons 5 -1/2) (cons 1 -1/2) (cons 4 -1/2) (cons 0 -1/2)))
#(define minors
  (list (cons 0 0) (cons 1 0) (cons 2 0) (cons 3 0) (cons 4 0) (cons 5 0) (cons 6 0)
        (cons 3 1/2) (cons 0 1/2) (cons 4 1/2) (cons 1 1/2) (cons 5 1/2) (cons 6 -1/2) (cons 2 -1/2) (cons 5 -1/2)))

#(define (keys mode alist tonics)
  (for-each
   (lambda (tonic)
    (let ((p (ly:make-pitch 0 (car tonic) (cdr tonic))))
     (format #t "{\"kind\":\"key\",\"tonic\":\"~a\",\"mode\":\"~a\",\"notes\":\"~a\"}\n"
      (note->string p) mode (key-pitches (ly:transpose-key-alist alist p)))))
   tonics))

#(keys "major" major majors)
#(keys "minor" minor minors)

% Two phrases of our own, with the chromatic notes that make spelling hard: a
% raised fourth, a flat seventh, a passing flat sixth, leading tones; in minor
% both sixths and sevenths and the flat second.
majorPhrase = { g4 c' e' g' fis' g' bes' a' aes' g' e' ees' d' b c' }
minorPhrase = { c'4 ees' d' g' fis' g' aes' g' bes' a' b' c'' des'' c'' g' f' b c' }

#(define (pitches-of music) (map (lambda (m) (ly:music-property m 'pitch)) (extract-named-music music 'NoteEvent)))

#(define ((phrase-to mode music) tonic)
  (let* ((p (ly:make-pitch 0 (car tonic) (cdr tonic)))
         (moved (ly:music-transpose (ly:music-deep-copy music) p)))
   (format #t "{\"kind\":\"phrase\",\"tonic\":\"~a\",\"mode\":\"~a\",\"notes\":\"~a\"}\n"
    (note->string p) mode (words (map pitch->string (pitches-of moved))))))

#(for-each (phrase-to "major" majorPhrase) majors)
#(for-each (phrase-to "minor" minorPhrase) minors)

% Chord mode, from C: the symbols are ours, the tones LilyPond's.
#(define (chord symbol music)
  (format #t "{\"kind\":\"chord\",\"symbol\":\"~a\",\"notes\":\"~a\"}\n"
   symbol (words (map pitch->string (pitches-of music)))))

#(for-each (lambda (pair) (chord (car pair) (cdr pair)))
  (list
   (cons "C" #{ \chordmode { c1 } #}) (cons "Cm" #{ \chordmode { c1:m } #})
   (cons "Cdim" #{ \chordmode { c1:dim } #}) (cons "Caug" #{ \chordmode { c1:aug } #})
   (cons "C5" #{ \chordmode { c1:1.5 } #}) (cons "C6" #{ \chordmode { c1:6 } #}) (cons "Cm6" #{ \chordmode { c1:m6 } #})
   (cons "C7" #{ \chordmode { c1:7 } #}) (cons "Cmaj7" #{ \chordmode { c1:maj7 } #}) (cons "Cm7" #{ \chordmode { c1:m7 } #})
   (cons "CmM7" #{ \chordmode { c1:m7+ } #}) (cons "Cdim7" #{ \chordmode { c1:dim7 } #}) (cons "Cm7b5" #{ \chordmode { c1:m7.5- } #})
   (cons "C7#5" #{ \chordmode { c1:aug7 } #}) (cons "Csus2" #{ \chordmode { c1:sus2 } #}) (cons "Csus4" #{ \chordmode { c1:sus4 } #})
   (cons "C9" #{ \chordmode { c1:9 } #}) (cons "Cmaj9" #{ \chordmode { c1:maj9 } #}) (cons "Cm9" #{ \chordmode { c1:m9 } #})
   (cons "C11" #{ \chordmode { c1:11 } #}) (cons "Cm11" #{ \chordmode { c1:m11 } #}) (cons "Cmaj11" #{ \chordmode { c1:maj11 } #})
   (cons "C13" #{ \chordmode { c1:13 } #}) (cons "Cm13" #{ \chordmode { c1:m13 } #}) (cons "Cmaj13" #{ \chordmode { c1:maj13 } #})
   (cons "C7b9" #{ \chordmode { c1:7.9- } #}) (cons "C7#9" #{ \chordmode { c1:7.9+ } #}) (cons "C7#11" #{ \chordmode { c1:7.11+ } #})
   (cons "C7b5" #{ \chordmode { c1:7.5- } #}) (cons "Cadd9" #{ \chordmode { c1:3.5.9 } #}) (cons "C7sus4" #{ \chordmode { c1:sus4.7 } #})
   (cons "C69" #{ \chordmode { c1:6.9 } #})))

% Note names, double accidentals included, quarter tones left out.
#(define (names language)
  (for-each
   (lambda (entry)
    (if (and (integer? (* 2 (ly:pitch-alteration (cdr entry)))) (= -1 (ly:pitch-octave (cdr entry))))
     (format #t "{\"kind\":\"name\",\"language\":\"~a\",\"name\":\"~a\",\"notes\":\"~a\"}\n"
      language (car entry) (note->string (cdr entry)))))
   (assoc-get language language-pitch-names)))

#(for-each names '(deutsch italiano))
