-- Works through the steps of tests/editor/clients/test_neovim.py as a user would, and writes down what it sees.
-- Nothing is judged here. $RXLINT_SEEN names the file to write; the current folder is a library of orders.
local PATIENCE = tonumber(vim.env.RXLINT_PATIENCE) * 1000 -- in milliseconds, for one step
local seen = { waits = {} }

local function write()
  local file = assert(io.open(vim.env.RXLINT_SEEN, "w"))
  file:write(vim.json and vim.json.encode(seen) or vim.fn.json_encode(seen))
  file:close()
end

local function wait(what, is_so)
  seen.waits[what] = vim.wait(PATIENCE, is_so, 20)
end

local function diagnostics()
  return vim.tbl_map(function(each)
    return { line = each.lnum + 1, column = each.col + 1, end_column = each.end_col + 1, severity = each.severity,
      message = each.message, source = each.source, code = each.code or vim.tbl_get(each, "user_data", "lsp", "code") }
  end, vim.diagnostic.get(0))
end

local function is_clean()
  return #vim.diagnostic.get(0) == 0
end

local function has_any()
  return #vim.diagnostic.get(0) > 0
end

local function text()
  return table.concat(vim.api.nvim_buf_get_lines(0, 0, -1, true), "\n") .. "\n"
end

local function keys(typed)
  vim.api.nvim_feedkeys(vim.api.nvim_replace_termcodes(typed, true, false, true), "xt", false)
end

local function clients()
  return (vim.lsp.get_clients or vim.lsp.get_active_clients)()
end

local function findings_and_corrections()
  vim.cmd("edit slips/peep-raised-alone.vrx")
  seen.filetype, seen.commentstring = vim.bo.filetype, vim.bo.commentstring
  wait("a finding", has_any)
  seen.found, seen.before = diagnostics(), text()
  if not has_any() then
    return
  end
  vim.api.nvim_win_set_cursor(0, { seen.found[1].line, seen.found[1].column - 1 })
  local wanted = vim.env.RXLINT_WANTED
  vim.ui.select = function(items, options, chosen) -- a menu that a user would be shown
    seen.actions = vim.tbl_map(options.format_item or tostring, items)
    for number, label in ipairs(seen.actions) do
      if label:find(wanted, 1, true) then
        return chosen(items[number], number)
      end
    end
    chosen(nil)
  end
  vim.lsp.buf.code_action()
  wait("corrections", function() return seen.actions ~= nil end)
  wait("nothing found", is_clean)
  seen.after, seen.left = text(), diagnostics()
end

local function hover()
  vim.fn.search("^  PEEP")
  vim.cmd("normal! ^")
  vim.lsp.buf.hover()
  local function shown()
    for _, window in ipairs(vim.api.nvim_list_wins()) do
      if vim.api.nvim_win_get_config(window).relative ~= "" then
        return window
      end
    end
  end
  wait("hover", function() return shown() ~= nil end)
  local window = shown()
  if window ~= nil then
    seen.hover = table.concat(vim.api.nvim_buf_get_lines(vim.api.nvim_win_get_buf(window), 0, -1, true), "\n")
    vim.api.nvim_win_close(window, true)
  end
end

local function typing()
  vim.fn.search("^  PEEP")
  keys("A <BS>x<Esc>")
  wait("a slip of the key", has_any)
  seen.typed, seen.typed_text = diagnostics(), vim.api.nvim_get_current_line()
  keys("A<BS><Esc>")
  wait("the slip taken back", is_clean)
  seen.taken_back = diagnostics()
end

local function another()
  vim.cmd("silent write")
  vim.cmd("edit sound/TM-0513-adult-neuromuscular-night.vrx")
  wait("attached", function()
    return #clients() > 0 and vim.lsp.buf_is_attached(0, clients()[1].id)
  end)
  seen.clients = vim.tbl_map(function(each) return { name = each.name, root = each.config.root_dir } end, clients())
end

local function completion(finished)
  vim.cmd("edit! slips/peep-raised-alone.vrx")
  vim.fn.search("^targets")
  local until_then = vim.loop.now() + PATIENCE
  vim.api.nvim_feedkeys(vim.api.nvim_replace_termcodes("o  PaC<C-x><C-o>", true, false, true), "t", false)
  local function look()
    local info = vim.fn.complete_info({ "items" })
    if #info.items == 0 and vim.loop.now() < until_then then
      return vim.defer_fn(look, 50)
    end
    seen.completions = vim.tbl_map(function(each) return each.word end, info.items)
    finished()
  end
  vim.defer_fn(look, 50)
end

local function guarded(step)
  local is_fine, fault = xpcall(step, debug.traceback)
  if not is_fine then
    seen.fault = fault
    write()
    vim.cmd("qall!")
  end
end

vim.api.nvim_create_autocmd("VimEnter", {
  nested = true, -- files that are opened here are opened as by a user
  callback = function()
    guarded(function()
      findings_and_corrections()
      hover()
      typing()
      another()
    end)
    vim.schedule(function()
      guarded(function()
        completion(function()
          write()
          vim.cmd("qall!")
        end)
      end)
    end)
  end,
})
