# make demo and make test need Go and make alone; crosscheck needs the Debian
# packages that .ci/run installs.

BIN := bin/gridwright
OUT := out

.PHONY: all build demo test crosscheck bench clean

all: build

build:
	go build -trimpath -o $(BIN) ./cmd/gridwright

demo: build
	@mkdir -p $(OUT)
	@echo "== a design that places nothing: pick chooses"
	$(BIN) pick designs/feed-screw-open.yaml -o $(OUT)/feed-screw.yaml
	@echo
	@echo "== what the chosen arrangement gives"
	$(BIN) predict $(OUT)/feed-screw.yaml
	@echo
	@echo "== a proposed bridge with a wiring mistake: check names the right order"
	$(BIN) check designs/test-arm-miswired.yaml || test $$? -eq 1
	@echo
	$(BIN) sheet $(OUT)/feed-screw.yaml -o $(OUT)/feed-screw.pdf
	$(BIN) sheet designs/agitator-tube.yaml -o $(OUT)/agitator-tube.pdf
	@echo "The design sheets are $(OUT)/feed-screw.pdf and $(OUT)/agitator-tube.pdf"

test:
	go vet ./...
	go test ./...

# against programs not written here: ngspice, GNU units, poppler, qpdf
crosscheck:
	go test -tags crosscheck -count=1 ./internal/...

bench: build
	go test -run '^$$' -bench . -benchmem ./internal/...
	@go test -tags crosscheck -count=1 -run Numpy -v ./internal/uncertainty | grep ratio || echo 'no ratio to numpy: /usr/bin/python3 has no numpy (.ci/run installs it)'

clean:
	rm -rf bin $(OUT)
