;;; drive.el --- Works through the steps of test_emacs.py and writes down what it sees  -*- lexical-binding: t -*-

;; Nothing is judged here.  $RXLINT_SEEN names the file to write; the current folder is a library of orders.

(require 'json)
(require 'cl-lib)
(require 'package)
(package-initialize)
(require 'eglot)
(require 'flymake)

(defvar drive-seen nil "What was seen, as an alist.")
(defvar drive-patience (string-to-number (getenv "RXLINT_PATIENCE")) "Seconds for one step.")
(setq eglot-connect-timeout drive-patience
      eglot-sync-connect nil
      make-backup-files nil
      create-lockfiles nil
      inhibit-startup-screen t)

(defun drive-note (name value)
  "Note VALUE under NAME."
  (push (cons name value) drive-seen))

(defun drive-write ()
  "Write down what was seen, and end."
  (with-temp-file (getenv "RXLINT_SEEN")
    (set-buffer-file-coding-system 'utf-8-unix)
    (insert (json-encode drive-seen)))
  (kill-emacs 0))

(defun drive-wait (what is-so)
  "Wait until IS-SO returns something, as a user looks on; note under WHAT whether it came to that."
  (let ((end (+ (float-time) drive-patience)) found)
    (sit-for 0.7)
    ;; No key is struck here, so no new pause begins: what waits for one, as the telling of changes, is due now.
    (mapc #'timer-event-handler (copy-sequence timer-idle-list))
    (while (not (or (setq found (funcall is-so)) (> (float-time) end)))
      (sit-for 0.05))
    (drive-note (concat "waited for " what) (if found t :json-false))
    found))

(defun drive-diagnostics ()
  "What flymake shows in this buffer, as a list."
  (mapcar (lambda (each)
            (save-excursion
              (goto-char (flymake-diagnostic-beg each))
              (list (cons 'line (line-number-at-pos))
                    (cons 'column (1+ (- (point) (line-beginning-position))))
                    (cons 'end_column (1+ (- (flymake-diagnostic-end each) (line-beginning-position))))
                    (cons 'severity (format "%s" (flymake-diagnostic-type each)))
                    (cons 'message (flymake-diagnostic-text each)))))
          (flymake-diagnostics)))

(defun drive-list (given)
  "GIVEN as JSON writes a list, an empty one too."
  (vconcat given))

(defun drive-findings-and-corrections ()
  "Look at the finding of a slip and make one of its corrections."
  (drive-type "C-x C-f slips/peep-raised-alone.vrx RET")
  (drive-note "mode" (format "%s" major-mode))
  (font-lock-ensure)
  (drive-note "colours" (drive-list (mapcar (lambda (place)
                                              (goto-char (point-min))
                                              (search-forward place)
                                              (format "%s" (get-text-property (1- (point)) 'face)))
                                            '("# Slip" "Night after" "notation"))))
  (drive-wait "a finding" #'flymake-diagnostics)
  (drive-note "found" (drive-list (drive-diagnostics)))
  (drive-note "before" (buffer-string))
  (goto-char (flymake-diagnostic-beg (car (flymake-diagnostics))))
  (let* ((wanted (getenv "RXLINT_WANTED"))
         (last-nonmenu-event ?\r)   ; as from the keyboard: no menu of a window system
         (completing-read-function
          (lambda (_prompt items &rest _)
            (let ((titles (all-completions "" items)))
              (drive-note "actions" (drive-list titles))
              (or (cl-find-if (lambda (each) (string-search wanted each)) titles)
                  (error "No correction is the one that is wanted"))))))
    (call-interactively #'eglot-code-actions))
  (drive-wait "nothing found" (lambda () (null (flymake-diagnostics))))
  (drive-note "after" (buffer-string))
  (drive-note "left" (drive-list (drive-diagnostics))))

(defun drive-hover ()
  "Read what is told of PEEP."
  (goto-char (point-min))
  (re-search-forward "^  PEEP")
  (backward-char 2)
  (eldoc-print-current-symbol-info)
  (drive-wait "hover" (lambda () (drive-hovered)))
  (drive-note "hover" (or (drive-hovered) "")))

(defun drive-hovered ()
  "The text of eldoc's buffer, where it tells of PEEP."
  (let ((buffer (cl-find-if (lambda (each) (string-match-p "eldoc" (buffer-name each))) (buffer-list))))
    (when buffer
      (with-current-buffer buffer
        (let ((told (buffer-string)))
          (and (string-match-p "PEEP" told) (substring-no-properties told)))))))

(defun drive-type (keys)
  "Type KEYS."
  (execute-kbd-macro (kbd keys)))

(defun drive-typing ()
  "Make a slip of the key and take it back."
  (goto-char (point-min))
  (re-search-forward "^  PEEP")
  (drive-type "C-e x")
  (drive-wait "a slip of the key" #'flymake-diagnostics)
  (drive-note "typed" (drive-list (drive-diagnostics)))
  (drive-note "typed line" (buffer-substring-no-properties (line-beginning-position) (line-end-position)))
  (drive-type "DEL")
  (drive-wait "the slip taken back" (lambda () (null (flymake-diagnostics))))
  (drive-note "taken back" (drive-list (drive-diagnostics))))

(defun drive-completion ()
  "Ask what a word may become that is half typed."
  (goto-char (point-min))
  (re-search-forward "^targets$")
  (drive-type "RET SPC SPC P a C")
  (let* ((found (run-hook-with-args-until-success 'completion-at-point-functions))
         (all (and (listp found) (all-completions "PaC" (nth 2 found)))))
    (drive-note "completions" (drive-list (mapcar #'substring-no-properties all)))))

(defun drive ()
  "Do all of it."
  (condition-case fault
      (progn
        (drive-findings-and-corrections)
        (drive-hover)
        (drive-typing)
        (save-buffer)
        (drive-completion)
        (set-buffer-modified-p nil))
    (error (drive-note "fault" (format "%S" fault))))
  (drive-write))

(add-hook 'window-setup-hook (lambda () (run-with-timer 0.1 nil #'drive)))

;;; drive.el ends here
