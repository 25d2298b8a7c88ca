% Makes fretboard-lilypond.jsonl: where LilyPond puts notes on tablature. For
% every string and pitch of some tunings the fret, and for melodies the places
% that it chooses when left alone (by its Tab_note_heads_engraver: the highest
% string that holds the note). The fretboard tests hold our own answers against it.
%
%   lilypond -dno-print-pages --loglevel=WARN fretboard-lilypond.ly > fretboard-lilypond.jsonl
%
% The melodies are in the public domain, written here from memory, in sounding
% pitch: Beethoven 1824; a French tune of 1761; a French round, 18th century; an
% English tune of the 16th century; New Britain, 1829; a Scottish air, 1796.

\version "2.24.0"

#(define ((say-place name lines) engraver grob source)
   (let* ((cause (ly:grob-property grob 'cause))
          (pos (ly:grob-property grob 'staff-position)))
     (format #t "{\"set\":\"~a\",\"midi\":~a,\"string\":~a,\"fret\":~a,\"beats\":~a}\n"
       name
       (+ 60 (ly:pitch-semitones (ly:event-property cause 'pitch)))
       (+ 1 (/ (- (- lines 1) pos) 2))
       (string-trim-both (markup->string (ly:grob-property grob 'text)))
       (exact->inexact (* 4 (ly:moment-main (ly:event-property cause 'length)))))))

run =
#(define-scheme-function (name tuning music) (string? list? ly:music?)
   #{ \score {
        \new TabStaff \with {
          stringTunings = #tuning
          \consists #(lambda (context) (make-engraver
            (acknowledgers ((tab-note-head-interface engraver grob source)
              ((say-place name (length tuning)) engraver grob source)))))
        } { #music }
        \layout { }
      } #})

#(define (frets tuning last)
   (make-music 'SequentialMusic 'elements
     (append-map
       (lambda (open n)
         (map (lambda (f)
                (make-music 'NoteEvent
                 'pitch (ly:make-pitch 0 0 (+ (ly:pitch-tones open) (/ f 2)))
                 'duration (ly:make-duration 2)
                 'articulations (list (make-music 'StringNumberEvent 'string-number n))))
              (iota (+ last 1))))
       tuning (iota (length tuning) 1))))

\run "standard" #guitar-tuning #(frets guitar-tuning 22)
\run "drop D" #guitar-drop-d-tuning #(frets guitar-drop-d-tuning 12)
\run "DADGAD" #guitar-dadgad-tuning #(frets guitar-dadgad-tuning 12)
\run "open G" #guitar-open-g-tuning #(frets guitar-open-g-tuning 12)
\run "open D" #guitar-open-d-tuning #(frets guitar-open-d-tuning 12)
\run "seven strings" #guitar-seven-string-tuning #(frets guitar-seven-string-tuning 12)
\run "drop C" #guitar-drop-c-tuning #(frets guitar-drop-c-tuning 12)
\run "half step down" \stringTuning <ees, aes, des ges bes ees'> #(frets #{ \stringTuning <ees, aes, des ges bes ees'> #} 12)
\run "bass" #bass-tuning #(frets bass-tuning 12)
\run "five-string bass" #bass-five-string-tuning #(frets bass-five-string-tuning 12)

\run "ode" #guitar-tuning \fixed c {
  b4 b c' d' d' c' b a g g a b b4. a8 a2
  b4 b c' d' d' c' b a g g a b a4. g8 g2
  a4 a b g a b8 c' b4 g a b8 c' b4 a g a d2
  b4 b c' d' d' c' b a g g a b a4. g8 g2
}
\run "maman" #guitar-tuning \fixed c {
  c4 c g g a a g2 f4 f e e d d c2 g4 g f f e e d2 g4 g f f e e d2
  c4 c g g a a g2 f4 f e e d d c2
}
\run "round" #guitar-tuning \fixed c {
  g4 a b g g a b g b c' d'2 b4 c' d'2 d'8 e' d' c' b4 g d'8 e' d' c' b4 g g d g2 g4 d g2
}
\run "sleeves" #guitar-tuning \fixed c {
  a4 c'2 d'4 e'4. fis'8 e'4 d'2 b4 g4. a8 b4 c'2 a4 a4. gis8 a4 b2 gis4 e2
  a4 c'2 d'4 e'4. fis'8 e'4 d'2 b4 g4. a8 b4 c'4. b8 a4 gis4. fis8 gis4 a2.
  g'2. g'4. fis'8 e'4 d'2 b4 g4. a8 b4 c'2 a4 a4. gis8 a4 b2 gis4 e2.
}
\run "britain" #guitar-tuning \fixed c {
  d4 g2 b8 g8 b2 a4 g2 e4 d2 d4 g2 b8 g8 b2 a4 d'2. d'4 b4. d'8 b8 g8 b2 a4 g2 e4 d2
  d4 g2 b8 g8 b2 a4 g2.
}
\run "air" #guitar-tuning \fixed c {
  c'4 f'4. f'8 f'4 a' g'4. f'8 g'4 a' f'4. f'8 a'4 c'' d''2. d''4
  c''4. a'8 a'4 f' g'4. f'8 g'4 a' f'4. d'8 d'4 c' f'2.
}
