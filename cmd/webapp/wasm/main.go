//go:build js

// Wasm is the engine of the app: it gives the worker of the page the functions of
// package app.
package main

import (
	"context"
	"encoding/json"
	"syscall/js"

	"swardcast/cmd/internal/app"
)

func main() {
	var session app.Session
	js.Global().Set("swardcast", map[string]any{
		// put(name, Uint8Array) keeps a file and returns {name} or {message}.
		"put": js.FuncOf(func(_ js.Value, args []js.Value) any {
			content := make([]byte, args[1].Length())
			js.CopyBytesToGo(content, args[1])
			name, err := session.Put(args[0].String(), content)
			if err != nil {
				return map[string]any{"message": err.Error()}
			}
			return map[string]any{"name": name}
		}),
		// forget() drops every file.
		"forget": js.FuncOf(func(js.Value, []js.Value) any {
			session.Forget()
			return nil
		}),
		// ask(JSON of a request) returns {reply: JSON, answer: Uint8Array}.
		"ask": js.FuncOf(func(_ js.Value, args []js.Value) any {
			var r app.Request
			if err := json.Unmarshal([]byte(args[0].String()), &r); err != nil {
				return map[string]any{"message": err.Error()}
			}
			reply := session.Ask(context.Background(), r)
			text, err := json.Marshal(reply)
			if err != nil {
				return map[string]any{"message": err.Error()}
			}
			answer := js.Global().Get("Uint8Array").New(len(reply.Answer))
			js.CopyBytesToJS(answer, reply.Answer)
			return map[string]any{"reply": string(text), "answer": answer}
		}),
	})
	select {}
}
